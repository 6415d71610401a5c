// @ts-check
// Under what names this site keeps things on a device; another site on the same host has other names.

/**
 * @param {string} what
 * @param {string} home path of the site's start
 */
export const named = (what, home) => `arraybook ${home} ${what}`;

/** The store of runtime files; their names follow their content, so files of two builds may lie side by side. */
export const STORE = "runtime";
