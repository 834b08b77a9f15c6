import type { FramePoint } from '@chordae/contract';
import type { Greys } from '../../host/clips/greys';
import { adjustGreys, greyTable, isPlain } from '../../host/clips/greys';
import type { Camera, Size } from './canvas/camera';
import { toScreen } from './canvas/camera';

/** Side of the magnifier and how much it enlarges a frame pixel, screen pixels. */
const LOUPE_PX = 132;
const LOUPE_SCALE = 6;

export interface Painting {
  readonly source: ImageBitmap;
  readonly camera: Camera;
  readonly size: Size;
  readonly greys: Greys;
  /** The point that is being put or moved: shown enlarged in the corner away from it. */
  readonly loupe: FramePoint | null;
}

let scratch: OffscreenCanvas | null = null;

/** The picture with its greys changed; colours of flow stay. */
function withGreys(source: ImageBitmap, greys: Greys): CanvasImageSource {
  if (isPlain(greys)) return source;
  if (scratch?.width !== source.width || scratch.height !== source.height)
    scratch = new OffscreenCanvas(source.width, source.height);
  const context = scratch.getContext('2d', { willReadFrequently: true });
  if (!context) return source;
  context.drawImage(source, 0, 0);
  const pixels = context.getImageData(0, 0, source.width, source.height);
  adjustGreys(pixels.data, greyTable(greys));
  context.putImageData(pixels, 0, 0);
  return scratch;
}

/** Paints one frame by its camera, and the magnifier over it. */
export function paintTile(canvas: HTMLCanvasElement, painting: Painting): void {
  const { source, camera, size, greys, loupe } = painting;
  const context = canvas.getContext('2d');
  if (!context) return;
  const dense = globalThis.devicePixelRatio || 1;
  context.setTransform(dense, 0, 0, dense, 0, 0);
  context.fillStyle = '#0b0b0b';
  context.fillRect(0, 0, size.width, size.height);
  // Enlarged, pixels are shown as they are: one measures between them.
  context.imageSmoothingEnabled = camera.scale * dense < 2;
  const picture = withGreys(source, greys);
  const [width, height] = [source.width * camera.scale, source.height * camera.scale];
  context.drawImage(picture, camera.offsetX, camera.offsetY, width, height);
  if (loupe) paintLoupe(context, picture, painting, loupe);
}

function paintLoupe(
  context: CanvasRenderingContext2D,
  picture: CanvasImageSource,
  { camera, size }: Painting,
  at: FramePoint,
): void {
  if (size.width < 2.5 * LOUPE_PX || size.height < 1.5 * LOUPE_PX) return;
  const { sx } = toScreen(camera, at);
  const left = sx > size.width / 2 ? 8 : size.width - LOUPE_PX - 8;
  const top = 8;
  const span = LOUPE_PX / LOUPE_SCALE;
  context.save();
  context.beginPath();
  context.rect(left, top, LOUPE_PX, LOUPE_PX);
  context.clip();
  context.fillStyle = '#0b0b0b';
  context.fillRect(left, top, LOUPE_PX, LOUPE_PX);
  context.imageSmoothingEnabled = false;
  context.drawImage(picture, at.x - span / 2, at.y - span / 2, span, span, left, top, LOUPE_PX, LOUPE_PX);
  context.restore();
  context.strokeStyle = '#767676';
  context.lineWidth = 1;
  context.strokeRect(left + 0.5, top + 0.5, LOUPE_PX - 1, LOUPE_PX - 1);
  context.strokeStyle = '#fff';
  const [cx, cy] = [left + LOUPE_PX / 2, top + LOUPE_PX / 2];
  context.beginPath();
  for (const [dx, dy] of [
    [1, 0],
    [-1, 0],
    [0, 1],
    [0, -1],
  ] as const) {
    context.moveTo(cx + dx * 5, cy + dy * 5);
    context.lineTo(cx + dx * 22, cy + dy * 22);
  }
  context.stroke();
}
