import type { CaseView } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayChanges } from './while-reading';

const ME = 'me';
const view = (parts: {
  state?: CaseView['referral']['state'];
  reader?: { memberId: string; name: string } | null;
  handedTo?: CaseView['handedTo'];
  clips?: number;
  events?: { kind: string; data: Record<string, unknown> }[];
}): CaseView =>
  ({
    referral: { state: parts.state ?? 'reading' },
    reader: parts.reader === undefined ? { memberId: ME, name: 'Me' } : parts.reader,
    handedTo: parts.handedTo ?? null,
    clips: Array.from({ length: parts.clips ?? 1 }),
    measurements: [],
    events: parts.events ?? [],
  }) as unknown as CaseView;
const before = { state: 'reading' as const, readerId: ME, clips: 1, numbers: 0 };

describe('what others did while one reads', () => {
  it('is nothing when nothing changed', () => {
    expect(sayChanges(before, view({}), ME)).toEqual([]);
  });

  it('says who took it over and why', () => {
    const taken = view({
      reader: { memberId: 'other', name: 'Dr Other' },
      events: [{ kind: 'referral.taken-over', data: { reason: 'Called away.' } }],
    });
    expect(sayChanges(before, taken, ME)).toEqual([
      'Dr Other has taken it over (Called away). What you wrote went along; you can look, and not write.',
    ]);
    // For who only looked on it is no news.
    expect(sayChanges({ ...before, readerId: 'third' }, taken, ME)).toEqual([]);
  });

  it('says that it was withdrawn, and that nothing is lost', () => {
    const withdrawn = view({ state: 'withdrawn', reader: null });
    expect(sayChanges(before, withdrawn, ME)).toEqual([
      'The practice has withdrawn this referral. What you wrote is kept, and goes to nobody.',
    ]);
  });

  it('counts clips that came', () => {
    expect(sayChanges(before, view({ clips: 3 }), ME)[0]).toMatch(/^2 clips have come/);
  });

  it('says to whom it was handed', () => {
    const handed = view({
      state: 'sent',
      reader: null,
      handedTo: { memberId: 'x', name: 'Dr Next', by: 'Lead', reason: 'Her field' },
    });
    expect(sayChanges(before, handed, ME)).toEqual(['It was handed to Dr Next by Lead: Her field.']);
  });
});
