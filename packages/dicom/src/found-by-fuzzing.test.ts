import { describe, expect, it } from 'vitest';
import { describeDicom, memorySource, readIsoFilm, writePart10 } from './index';

const pixels = { coding: 'native', frames: [new Uint8Array(4)] } as const;
const grey = (other: Record<string, string> = {}) =>
  writePart10(
    [
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.5.1.4.1.1.3.1' },
      { tag: '00080018', vr: 'UI', value: '2.25.7' },
      { tag: '00280002', vr: 'US', value: [1] },
      { tag: '00280004', vr: 'CS', value: other['photometric'] ?? 'MONOCHROME2' },
      { tag: '00280008', vr: 'IS', value: other['frames'] ?? '1' },
      { tag: '00280010', vr: 'US', value: [2] },
      { tag: '00280011', vr: 'US', value: [2] },
      { tag: '00280100', vr: 'US', value: [8] },
      { tag: '00280101', vr: 'US', value: [8] },
    ],
    pixels,
  );

/** Found by changing files: what stands in a damaged file must not be quoted raw to a person. */
describe('a damaged code of a file', () => {
  it('is a damaged file when it should name the transfer syntax and is no UID', async () => {
    const bytes = grey();
    const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
    const at = text.indexOf('1.2.840.10008.1.2.1');
    text.write('5723.0 \u000eUI*1.3.1\u0002', at, 'latin1');
    expect(await describeDicom(memorySource(bytes))).toMatchObject({
      ok: false,
      problem: { code: 'DICOM_DAMAGED' },
    });
  });

  it('keeps the name of a transfer syntax that is only unknown', async () => {
    const bytes = grey();
    Buffer.from(bytes.buffer, bytes.byteOffset).write(
      '1.2.840.10008.9.9.9',
      Buffer.from(bytes).indexOf('1.2.840.10008.1.2.1'),
      'latin1',
    );
    expect(await describeDicom(memorySource(bytes))).toMatchObject({
      problem: { code: 'TRANSFER_SYNTAX_NOT_YET_READ', data: { name: '1.2.840.10008.9.9.9' } },
    });
  });

  it.each([
    ['photometric', 'MONO\u0007CHROME', 'COLOUR_NOT_YET_READ', { photometric: 'MONO?CHROME' }],
    ['frames', '3\u001bx', 'FRAME_COUNT_IMPLAUSIBLE', { value: '3?x' }],
  ])('is quoted without control letters: %s', async (name, value, code, data) => {
    expect(await describeDicom(memorySource(grey({ [name]: value })))).toMatchObject({
      ok: false,
      problem: { code, data },
    });
  });
});

describe('a film that ends within the head of a box', () => {
  it('is a damaged one, where the box says that its size follows in 64 bits', async () => {
    const bytes = Uint8Array.from([0, 0, 0, 1, 0x66, 0x72, 0x65, 0x65, 0, 0, 0, 0]);
    expect(await readIsoFilm(memorySource(bytes))).toMatchObject({ problem: { code: 'FILM_DAMAGED' } });
  });
});
