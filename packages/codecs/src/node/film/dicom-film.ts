import { mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { ClipDescription } from '@chordae/contract';
import type { DicomFile, FramePiece, Read } from '@chordae/dicom';
import { problem, refuse } from '@chordae/dicom';
import { filmNotes } from '../../film-description';
import type { Original } from '../original';
import type { Demuxer } from './film-decoder';
import { openFrames } from './film-original';

const pieceBytes = 4 * 1024 * 1024;

/**
 * MPEG-2, H.264 or HEVC inside DICOM (PS3.5 8.2.7 and following): all fragments together are one film, elementary or in a
 * container. Size, number of frames and times are the header's; the film must agree.
 */
export async function openDicomFilm(
  file: DicomFile,
  fragments: readonly FramePiece[],
  description: ClipDescription,
  closeSource: () => Promise<void>,
): Promise<Read<Original>> {
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-film-'));
  const removed = (): Promise<void> => rm(folder, { recursive: true, force: true });
  try {
    const film = path.join(folder, 'film');
    const start = await copyOut(file, fragments, film);
    const demuxer = demuxerOf(start);
    const opened =
      demuxer === null
        ? refuse('FILM_DAMAGED')
        : await openFrames(film, demuxer, description.transferSyntax ?? '');
    if (!opened.ok) {
      await removed();
      return opened;
    }
    const { head, frames } = opened.value;
    const wrong = disagreement(file, head);
    if (wrong !== null) {
      await frames.close();
      await removed();
      return wrong;
    }
    const surplus = head.frameCount - file.layout.frameCount;
    const more = surplus > 0 ? [problem('FRAMES_MORE_THAN_DECLARED', { surplus })] : [];
    return {
      ok: true,
      value: {
        ...frames,
        description: { ...description, problems: [...description.problems, ...filmNotes(head), ...more] },
        machine: file.machine,
        async close() {
          await frames.close();
          await removed();
          await closeSource();
        },
      },
    };
  } catch (thrown) {
    await removed();
    throw thrown;
  }
}

function disagreement(
  { layout }: DicomFile,
  head: { readonly widthPx: number; readonly heightPx: number; readonly frameCount: number },
): { readonly ok: false; readonly problem: { code: string; data: Record<string, string | number> } } | null {
  if (head.widthPx !== layout.widthPx || head.heightPx !== layout.heightPx)
    return refuse('FRAME_SIZE_DIFFERS', { frame: 1, widthPx: head.widthPx, heightPx: head.heightPx });
  if (head.frameCount < layout.frameCount)
    return refuse('FRAMES_MISSING', { expected: layout.frameCount, found: head.frameCount });
  return null;
}

/** Copies the fragments to a file, piece by piece; gives the first bytes. */
async function copyOut(file: DicomFile, fragments: readonly FramePiece[], to: string): Promise<Uint8Array> {
  const handle = await open(to, 'wx', 0o600);
  let first = new Uint8Array();
  try {
    for (const fragment of fragments)
      for (let at = 0; at < fragment.length; at += pieceBytes) {
        const length = Math.min(pieceBytes, fragment.length - at);
        const bytes = await file.header.source.read(fragment.offset + at, length);
        if (first.length === 0) first = new Uint8Array(bytes.subarray(0, 512));
        await handle.write(bytes);
      }
  } finally {
    await handle.close();
  }
  return first;
}

/** Container or elementary stream, by its first bytes; null when it is neither. */
function demuxerOf(start: Uint8Array): Demuxer | null {
  const box = String.fromCharCode(...start.subarray(4, 8));
  if (['ftyp', 'moov', 'mdat', 'free', 'wide'].includes(box)) return 'mov';
  if (start[0] === 0x47 && start[188] === 0x47) return 'mpegts';
  const at = start[2] === 1 ? 3 : 4;
  if (start[0] !== 0 || start[1] !== 0 || start[at - 1] !== 1) return null;
  const unit = start[at] ?? 0;
  if (unit === 0xba) return 'mpeg';
  if (unit === 0xb3) return 'mpegvideo';
  // The first unit of an HEVC stream is a parameter set, delimiter or message (ITU-T H.265 table 7-1, types 32 to 35, 39),
  // whose byte is even; of an H.264 one likewise types 6, 7, 9 (H.264 table 7-1).
  const hevc = unit >> 1;
  return unit % 2 === 0 && ((hevc >= 32 && hevc <= 35) || hevc === 39) ? 'hevc' : 'h264';
}
