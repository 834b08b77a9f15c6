import { describe, expect, it } from 'vitest';
import { recognise } from './recognise';

function bytes(text: string, length = 64): Uint8Array {
  const out = new Uint8Array(length);
  out.set(Array.from(text, (letter) => letter.charCodeAt(0)));
  return out;
}

describe('recognise', () => {
  it.each([
    ['%PDF-1.7', 'pdf'],
    ['PK\u0003\u0004', 'zip'],
    ['RIFF\u0001\u0002\u0003\u0004AVI LIST', 'avi'],
    ['RIFF\u0001\u0002\u0003\u0004WEBPVP8 ', 'webp'],
    ['\0\0\0\u0020ftypisom', 'mp4'],
    ['\0\0\0\u0014ftypqt  ', 'mov'],
    ['\0\0\0\u0018ftypheic\0\0\0\0mif1heic', 'heic'],
    ['\0\0\0\u0018ftypmif1\0\0\0\0mif1heic', 'heic'],
    ['\0\0\0\u0018ftypmif1\0\0\0\0mif1avif', 'avif'],
    ['\0\0\0\u0014ftypavif\0\0\0\0mif1', 'avif'],
    ['\0\0\u0001\u00ba', 'mpeg'],
    ['GIF89a', 'gif'],
    ['II*\0', 'tiff'],
  ])('knows %j by its content', (start, format) => {
    expect(recognise(bytes(start))).toEqual({ ok: true, value: format });
  });

  it.each([
    ['\0\0\0\u000cjP  ', 'a JPEG 2000 picture'],
    ['\u001f\u008b\b', 'a gzip archive'],
  ])('names %j, which is not read', (start, what) => {
    expect(recognise(bytes(start))).toEqual({
      ok: false,
      problem: { code: 'FORMAT_NOT_YET_READ', data: { what } },
    });
  });

  it('tells an empty file and a text from a picture', () => {
    expect(recognise(new Uint8Array())).toMatchObject({ problem: { code: 'FILE_EMPTY' } });
    expect(recognise(bytes('Dear colleague, please find'))).toMatchObject({
      problem: { code: 'NOT_AN_IMAGE' },
    });
  });

  it('knows JPEG, PNG and DICOM', () => {
    expect(recognise(bytes('\u00ff\u00d8\u00ff\u00e0'))).toEqual({ ok: true, value: 'jpeg' });
    expect(recognise(bytes('\u0089PNG\r\n\u001a\n'))).toEqual({ ok: true, value: 'png' });
    const file = new Uint8Array(140);
    file.set(bytes('DICM', 4), 128);
    expect(recognise(file)).toEqual({ ok: true, value: 'dicom' });
  });
});
