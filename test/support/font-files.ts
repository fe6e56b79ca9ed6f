/** The same font with other bits of fsType (OpenType 1.9.1, OS/2, byte 8). */
export function withFsType(font: Uint8Array, bits: number): Uint8Array {
  const copy = font.slice();
  const view = new DataView(copy.buffer);
  for (let i = 0; i < view.getUint16(4); i++) {
    const at = 12 + 16 * i;
    if (String.fromCharCode(...copy.subarray(at, at + 4)) === 'OS/2')
      view.setUint16(view.getUint32(at + 8) + 8, bits);
  }
  return copy;
}
