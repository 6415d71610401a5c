// Set in when the modules are bundled (scripts/floor/runtime.py).

interface RuntimeFile {
  /** The file's name below runtime/, with a hash of its content in it. */
  name: string;
  /** Its size once any compression by the host is undone. */
  bytes: number;
  /** Its size as a host sends it, compressed with gzip. */
  wire: number;
}

/** What a page is told while the calculation starts. */
interface Progress {
  stage: "fetching" | "starting" | "loading" | "waking" | "ready";
  /** One line in words. */
  line: string;
  /** Bytes received and to receive, as sent; both 0 when all of it is on this device. */
  done: number;
  total: number;
}

declare const FACTS: {
  /** Hash of everything that makes up the runtime: a memory image of another build is never woken. */
  build: string;
  /** The index of packages that Python could fetch, as JSON: none. */
  index: string;
  files: { wasm: RuntimeFile; engine: RuntimeFile; python: RuntimeFile; core: RuntimeFile };
  /** The worker's script; only the page's bundle knows it. */
  worker?: RuntimeFile;
};

declare const WORDS: {
  stage: Record<string, string>;
  reason: Record<string, string>;
};
