// @ts-check
// A reason why the calculation cannot run, by its code; the page says it in one line.

/** Codes after which a second try may well succeed. */
const PASSING = new Set(["crashed", "too-slow", "truncated"]);

/** The message is one line for the reader; the detail is not. */
export class Failure extends Error {
  /**
   * @param {string} code a key of the reasons in words.toml
   * @param {string} [detail]
   */
  constructor(code, detail = "") {
    super(WORDS.reason[code] ?? code);
    this.code = code;
    this.detail = detail;
  }

  /** Whether a new start may help. */
  get passing() {
    return PASSING.has(this.code);
  }
}

/**
 * What any error means to a reader.
 * @param {unknown} error
 */
export function failureOf(error) {
  if (error instanceof Failure) return error;
  const text = String(error);
  const memory = error instanceof RangeError || /out of memory|could not allocate|MemoryError|WebAssembly\.Memory/i.test(text);
  return new Failure(memory ? "no-memory" : "crashed", text);
}
