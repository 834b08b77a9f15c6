const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Bytes of base64 text (RFC 4648). */
export function bytesOfBase64(text: string): Uint8Array {
  const clean = text.replace(/=+$/, '');
  const out = new Uint8Array(Math.floor((clean.length * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (const letter of clean) {
    const value = letters.indexOf(letter);
    if (value < 0) throw new Error(`bytesOfBase64: letter ${letter}`);
    held = ((held << 6) | value) & 0xffffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      out[at] = (held >>> bits) & 0xff;
      at += 1;
    }
  }
  return out;
}
