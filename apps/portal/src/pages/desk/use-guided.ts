import type { CaseView, MeasurementCode } from '@chordae/contract';
import { viewNames } from '@chordae/words';
import { useState } from 'react';
import { cycleOf } from '../../host/clips/beats';
import type { StageClock } from '../../host/clips/stage-clock';
import type { WantedStep } from './guided';
import { clipFor, frameFor, nextStep, wantedSteps } from './guided';
import { viewOf } from './keep-reading';
import { stageClip } from './stage-clip';
import type { Measuring } from './use-measuring';
import type { Shown } from './use-shown';

export interface Guided {
  readonly step: WantedStep | null;
  readonly note: string;
  /** Goes on to the next wanted measurement, opening its clip in a tile. */
  goOn(chosen: number): void;
  end(): void;
}

/** A clip on which time runs across a part of the picture, the chosen one before others. */
function withTimeAxis(clips: CaseView['clips'], chosen: string | undefined) {
  const timed = clips.filter((x) => x.description.regions.some((r) => r.usable && r.unitX === 's'));
  return timed.find((x) => x.id === chosen) ?? timed[0] ?? null;
}

const FROM = { marked: 'marked', 'r-wave': 'by the R wave', suggested: 'suggested by the pictures' } as const;

/** The set that the question wants, one after the other: its clip, its moment, its tool. */
export function useGuided({
  c,
  shown,
  clock,
  measuring,
  setChosen,
  setSays,
}: {
  c: CaseView;
  shown: Shown;
  clock: StageClock;
  measuring: Measuring;
  setChosen: (place: number) => void;
  setSays: (says: string | null) => void;
}): Guided {
  const [code, setCode] = useState<MeasurementCode | null>(null);
  const [note, setNote] = useState('');
  const steps = wantedSteps(c.referral.plan, c.patient.species, c.measurements);
  const step = steps.find((s) => s.code === code) ?? null;
  return {
    step,
    note,
    end: () => setCode(null),
    goOn(chosen) {
      const next = nextStep(steps, code);
      setCode(next?.code ?? null);
      setSays(null);
      if (!next) return;
      const ids = shown.tiles.map((t) => t.id);
      const clip =
        next.views.length === 0
          ? withTimeAxis(c.clips, ids[chosen - 1])
          : clipFor(next, c.clips, (x) => viewOf(c, x), ids);
      if (!clip) {
        const view = next.views[0];
        setNote(
          view
            ? `No clip of this view has come (${viewNames[view]}): measure it elsewhere, or go on.`
            : 'No clip has come on which time runs across the picture: type it, or go on.',
        );
        measuring.stop();
        return;
      }
      const there = ids.indexOf(clip.id);
      const place = there >= 0 ? there + 1 : chosen;
      const tile = stageClip(c, clip);
      if (there < 0) shown.put(place, tile);
      setChosen(place);
      const now = there >= 0 ? clock.frameOf(place) : 0;
      const moment = frameFor(next.guide.moment, cycleOf(tile.cycle), now - 1, tile.cycle.times.length);
      clock.hold();
      // A clip that was just opened has first to be there.
      setTimeout(() => clock.goTo(place, moment?.frame ?? now), 0);
      setNote(
        moment
          ? `Clip ${clip.number}, frame ${moment.frame + 1}, ${FROM[moment.from]}.`
          : next.guide.moment === 'any'
            ? `Clip ${clip.number}.`
            : `Clip ${clip.number}: its moments are not known, choose the frame.`,
      );
      measuring.begin(next.guide.tool, next.code);
    },
  };
}
