import type { Handing } from './film-decoder';

/** More than this are refused; the decoder stops one later. */
export const mostFrames = 20_000;

/** More than two thirds of the frames could not be decoded (ffmpeg's manual, `-max_error_rate`): it went through the film all the same. */
export const mostlyErrors = 69;

/** What is done to a frame before it is handed over: two woven moments become one, colours that are not turned here become RGB. */
function handing({ yuv, interlaced }: Handing): string {
  const steps = interlaced ? ['yadif=mode=0:deint=1'] : [];
  if (yuv === null) steps.push('scale=flags=bicubic+accurate_rnd+full_chroma_int+bitexact', 'format=rgb24');
  else steps.push(`format=${yuv.pixelFormat}`);
  return steps.join(',');
}

/** Frames as the film has them, none dropped, none doubled, none brought to another's size; times in µs. */
const asTheyAre = ['-fps_mode', 'passthrough', '-enc_time_base', '1/1000000', '-noautoscale'];

/** Arguments, after the input, that give raw frames one after the other. */
export function rawFrameArguments(how: Handing): string[] {
  return ['-map', '0:v:0', '-vf', handing(how), ...asTheyAre, '-f', 'rawvideo'];
}

/** Where the outputs of `runArguments` go. */
export interface RunOutputs {
  readonly frames: string;
  readonly strips: string;
  readonly raw: string;
  /** How many raw frames; none where 0. */
  readonly rawFrames: number;
}

/** Arguments, after the input, of one run that decodes a film once and writes the lists of a `FilmRun` and raw frames. */
export function runArguments(how: Handing, to: RunOutputs): string[] {
  const raw = to.rawFrames > 0;
  const graph = [
    `[0:v:0]split=${raw ? 3 : 2}[frames][whole]${raw ? '[coded]' : ''}`,
    // Exact: also where chroma is halved and a frame has one line.
    '[whole]settb=1/1000000,setpts=2*N+INTERLACED,crop=iw:min(ih\\,2):0:0:exact=1[strips]',
    ...(raw ? [`[coded]${handing(how)}[raw]`] : []),
  ];
  const most = ['-frames:v', String(mostFrames + 1)];
  // Line by line, so that the program ends soon after whoever reads it.
  const list = [...most, ...asTheyAre, '-f', 'framehash', '-flush_packets', '1', '-hash'];
  const held = ['-map', '[raw]', '-frames:v', String(to.rawFrames), ...asTheyAre, '-f', 'rawvideo', to.raw];
  return [
    '-filter_complex',
    graph.join(';'),
    ...['-map', '[frames]'].concat(list, 'murmur3', to.frames),
    ...['-map', '[strips]'].concat(list, 'adler32', to.strips),
    ...(raw ? held : []),
  ];
}
