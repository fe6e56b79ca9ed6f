/** What is used of the WebAssembly JavaScript Interface (W3C); Node's own types leave it to those of a browser. */
declare namespace WebAssembly {
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Instance {
    constructor(
      module: Module,
      imports?: Readonly<Record<string, Readonly<Record<string, (...given: number[]) => number>>>>,
    );
    readonly exports: Readonly<Record<string, unknown>>;
  }
  interface Memory {
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
}
