import type { ClipDescription, MachineSays } from '@chordae/contract';
import type { ByteSource, Read } from '@chordae/dicom';
import { describeDicom, describeStill, machineSaysNothing, recognise, refuse } from '@chordae/dicom';

export interface HeaderSays {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
}

/** A Blob or File by range; nothing but the ranges asked for is held. */
export function blobSource(file: Blob): ByteSource {
  return {
    size: file.size,
    async read(offset, length) {
      return new Uint8Array(await file.slice(offset, offset + length).arrayBuffer());
    },
  };
}

/** Says before the upload what a picked file is, from its header alone; refuses as the server will, and what only the server reads with READ_AFTER_UPLOAD. */
export async function readHeaderInBrowser(file: Blob): Promise<Read<HeaderSays>> {
  const source = blobSource(file);
  const format = recognise(await source.read(0, 4096), source.size);
  if (!format.ok) return format;
  if (format.value !== 'dicom' && format.value !== 'jpeg' && format.value !== 'png')
    return refuse('READ_AFTER_UPLOAD');
  if (format.value !== 'dicom') {
    const description = await describeStill(source, format.value);
    return description.ok
      ? { ok: true, value: { description: description.value, machine: machineSaysNothing } }
      : description;
  }
  const read = await describeDicom(source);
  return read.ok
    ? { ok: true, value: { description: read.value.description, machine: read.value.machine } }
    : read;
}
