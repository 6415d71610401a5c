// @ts-check
// Where things lie on the site, which may be any folder of a host. The bundles lie in its folder runtime/.

export const RUNTIME = new URL("./", import.meta.url);
/** The start of the site. */
export const HOME = new URL("../", import.meta.url);
