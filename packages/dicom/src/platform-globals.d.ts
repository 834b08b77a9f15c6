/** The one platform global this package may use: both Node and browsers have it (WHATWG Encoding). */
declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean; ignoreBOM?: boolean });
  decode(input?: Uint8Array): string;
}
