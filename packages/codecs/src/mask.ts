import type { Box, ClipDescription, MaskState } from '@chordae/contract';
import { boxesWithout, outgoingKeepArea, outlineRows } from '@chordae/dicom';
import type { Keep } from './reading';

export interface MaskDecision {
  readonly mask: MaskState;
  /** null: everything is visible (no-name-confirmed) or nothing is decided (needs-decision). */
  readonly boxes: readonly Box[] | null;
}

/** Turns what is wished into rectangles that stay visible. A box without area in the picture counts as no decision. */
export function decideMask(description: ClipDescription, keep: Keep): MaskDecision {
  if (typeof keep === 'object' && 'keep' in keep) {
    const { mask, boxes } = decideMask(description, keep.keep);
    const left = boxes === null ? [] : boxesWithout(boxes, keep.cover);
    return left.length === 0 ? { mask: 'needs-decision', boxes: null } : { mask, boxes: left };
  }
  if (keep === 'all') return { mask: 'no-name-confirmed', boxes: null };
  if (keep === 'auto') {
    const boxes = outgoingKeepArea(description);
    return boxes === null ? { mask: 'needs-decision', boxes: null } : { mask: 'regions', boxes };
  }
  if ('outline' in keep) {
    const rows = outlineRows(keep.outline, description.widthPx, description.heightPx);
    return rows.length === 0 ? { mask: 'needs-decision', boxes: null } : { mask: 'fan', boxes: rows };
  }
  const box = {
    x0: Math.max(0, keep.x0),
    y0: Math.max(0, keep.y0),
    x1: Math.min(description.widthPx - 1, keep.x1),
    y1: Math.min(description.heightPx - 1, keep.y1),
  };
  return box.x1 <= box.x0 || box.y1 <= box.y0
    ? { mask: 'needs-decision', boxes: null }
    : { mask: 'box', boxes: [box] };
}
