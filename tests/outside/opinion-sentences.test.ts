import type {
  ClipStatementRecord,
  MeasurementRecord,
  ObservationCode,
  ObservationRecord,
  Species,
  Structure,
  ViewId,
} from '@chordae/contract';
import { measurementCodes, observationCodes, structure as structures, viewId } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import {
  type FindingProposal,
  indexNames,
  indicesOfNoStructure,
  type JudgedView,
  judgedViews,
  monthsAfter,
  observedFindings,
  proposeFinding,
  proposeFindings,
  proposeRescan,
  proposeStages,
  saySeenIn,
  stageCodesInWords,
  startKeeperPage,
  structureIndices,
  TO_BE_CHECKED,
  viewsOfStructure,
} from '@chordae/words';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { caseOf } from './case-of';

/**
 * The sentences that are proposed to a reader, against the engine itself. Numbers: Cornell 2004 (exponent 0.294, limits 1.27
 * to 1.85) and LA:Ao from 1.6 (ACVIM 2019 after Boswood 2016), worked by hand beside each case.
 */
type Parts = Parameters<typeof caseOf>[0];

const STRUCTURES = structures.options;
const adequate = (...views: ViewId[]): JudgedView[] =>
  views.map((view) => ({ view, judged: 'adequate', why: '' }));
const ALL_VIEWS = adequate(...viewId.options);

function record(
  code: ObservationCode,
  value: string,
  side: ObservationRecord['side'] = 'reader',
): ObservationRecord {
  return {
    id: `o-${code}-${side}`,
    code,
    value,
    side,
    supersedesId: null,
    supersededById: null,
    madeBy: 'Test',
    madeAt: '2026-11-25T09:00:00.000Z',
  };
}

function facts(
  parts: Parts,
  judged: readonly JudgedView[] = ALL_VIEWS,
  observations: readonly ObservationRecord[] = [],
  measurements: readonly MeasurementRecord[] = [],
) {
  const input = caseOf(parts);
  const interpretation = interpret({
    ...input,
    observations: observations.flatMap((o) =>
      o.value === null ? [] : [{ id: o.id, code: o.code, value: o.value, side: o.side }],
    ),
  });
  return {
    species: input.patient.species,
    interpretation,
    measurements,
    observations,
    judged,
    rhythm: input.state.rhythm,
  };
}
const says = (s: Structure, f: ReturnType<typeof facts>) => proposeFinding(s, f).text;

describe('proposed only from what was judged', () => {
  const measured: Parts = { measure: { lvidd: 38.2, lvids: 21.5, 'la-sax': 24, 'ao-sax': 13 } };

  it('proposes nothing while no view of the structure was judged, and says in which it would be seen', () => {
    for (const s of STRUCTURES) expect(says(s, facts(measured, []))).toBeNull();
    const atrium = proposeFinding('left-atrium', facts(measured, adequate('lap-5ch')));
    expect(atrium.text).toBeNull();
    expect(atrium.because).toMatch(/^No view of it was judged\. It is seen in: right parasternal long axis/);
    expect(atrium.because).not.toContain('horse');
  });

  it('proposes for what the judged view shows, and for nothing else', () => {
    const proposed = proposeFindings(facts(measured, adequate('rps-short-aortic')))
      .filter((p) => p.text !== null && p.structure !== 'rhythm')
      .map((p) => p.structure);
    expect(proposed).toEqual(['left-atrium']);
  });

  it('proposes nothing from a judged view on which nothing was measured or noted', () => {
    const empty = proposeFinding('left-ventricle', facts({}, adequate('rps-short-papillary')));
    expect(empty.text).toBeNull();
    expect(empty.because).toContain('Nothing was measured or noted on it');
  });

  it('takes no machine-only observation for a finding', () => {
    const seen = [record('pericardial-fluid', 'large', 'machine')];
    expect(says('pericardium-pleura', facts({}, adequate('effusion-sweep'), seen))).toBeNull();
  });

  it('knows for every structure and species in which views it is seen, by views that exist', () => {
    for (const s of STRUCTURES.filter((x) => x !== 'rhythm'))
      for (const species of ['dog', 'cat', 'ferret', 'rabbit', 'other', 'horse'] as Species[]) {
        const views = viewsOfStructure(s, species);
        for (const view of views) {
          expect(viewId.options).toContain(view);
          // Fluid and lungs are scanned in every species alike.
          if (s !== 'pericardium-pleura') expect(view.startsWith('eq-')).toBe(species === 'horse');
        }
        expect(views.length).toBeGreaterThan(0);
      }
  });
});

describe('where a structure is seen', () => {
  it('names fluid and lung views for a horse too', () => {
    const horse = facts({ species: 'horse' }, adequate('effusion-sweep'), [
      record('pericardial-fluid', 'small'),
    ]);
    expect(says('pericardium-pleura', horse)).toMatch(/^A small amount of fluid round the heart\./);
  });

  it('has a sentence of its own where no view shows it', () => {
    expect(saySeenIn([])).toBe('No standard view of this species shows it.');
    expect(saySeenIn(['lung-points'])).toMatch(/^It is seen in: \S.*\.$/);
  });
});

describe('judged views', () => {
  const said = (
    clipId: string,
    side: 'reader' | 'sender',
    at: string,
    judged: 'adequate' | 'doubtful' | 'not-possible',
    view: ViewId = 'rps-long-4ch',
  ): ClipStatementRecord => ({
    id: `${clipId}-${at}`,
    clipId,
    side,
    by: 'Test',
    at,
    statement: { kind: 'judgement', view, judged, axis: null, why: 'tilted' },
  });
  const of = (statements: ClipStatementRecord[]) => judgedViews({ statements });

  it("are the reader's newest word on each clip, never a sender's alone, never one that was not possible", () => {
    expect(of([said('a', 'sender', '1', 'adequate')])).toEqual([]);
    expect(of([said('a', 'reader', '1', 'adequate'), said('a', 'reader', '2', 'doubtful')])).toEqual([
      { view: 'rps-long-4ch', judged: 'doubtful', why: 'tilted' },
    ]);
    expect(of([said('a', 'reader', '1', 'adequate'), said('a', 'reader', '2', 'not-possible')])).toEqual([]);
  });
});

describe('the sentences', () => {
  it('name number, limit, source and doubt', () => {
    // 38.2 mm = 3.82 cm; 3.82 / 7.4^0.294 = 3.82 / 1.801 = 2.12.
    const text = says('left-ventricle', facts({ measure: { lvidd: 38.2, lvids: 21.5 } }));
    expect(text).toContain(
      'Weight-normalised left ventricle in diastole (LVIDDN) 2.12: above the limits of Cornell 2004 (1.27 to 1.85)',
    );
    expect(text).toContain('Not assessed: walls.');
    // 24 / 13 = 1.846; limit 1.6.
    const atrium = says('left-atrium', facts({ measure: { 'la-sax': 24, 'ao-sax': 13 } }));
    expect(atrium).toContain('(LA:Ao) 1.85: above the limits of Boswood 2016 (limit 1.60)');
    expect(atrium).toContain('Not assessed: clot in the left atrium.');
  });

  it('say when a number is within measuring error of its limit, and when it is clear of it', () => {
    // 20.9 / 13 = 1.608, just over 1.6; 39 / 13 = 3.0, far over.
    const near = says('left-atrium', facts({ measure: { 'la-sax': 20.9, 'ao-sax': 13 } }));
    const far = says('left-atrium', facts({ measure: { 'la-sax': 39, 'ao-sax': 13 } }));
    expect(near).toContain('within measuring error of the limit');
    expect(far).not.toContain('within measuring error');
  });

  it('write a number inside its limits as within the limits of their source, with what takes away from it', () => {
    const text = says(
      'left-atrium',
      facts({ measure: { 'la-sax': 17, 'ao-sax': 13 }, state: { diuretic24h: 'yes' } }),
    );
    expect(text).toMatch(/within the limits of Boswood 2016/);
    expect(text).toContain('A diuretic was given: it shrinks the left atrium within hours.');
  });

  it('say why a number is not graded instead of grading it', () => {
    const text = says(
      'left-ventricle',
      facts({ measure: { lvidd: 30, lvids: 21 }, state: { sedative: 'alpha-2' } }),
    );
    expect(text).toMatch(/\(FS\) 30\.0 %: not graded: after an alpha-2 sedative/);
  });

  it('do not use numbers that contradict each other, and name them', () => {
    const text = says(
      'left-ventricle',
      facts({ measure: { lvidd: 21.5, lvids: 38.2, 'wall-max-d': 7 }, species: 'cat' }),
    );
    expect(text).not.toMatch(/LVIDDN\)|\(FS\)/);
    const both = facts({ measure: { lvidd: 21.5, lvids: 38.2 } });
    expect(both.interpretation.flags.some((f) => f.rule.id.startsWith('check.'))).toBe(true);
  });

  it("say a reader's finding plainly and a sender's as the sender's", () => {
    const sweep = adequate('effusion-sweep');
    expect(says('pericardium-pleura', facts({}, sweep, [record('pericardial-fluid', 'small')]))).toMatch(
      /^A small amount of fluid round the heart\./,
    );
    const two = [record('pericardial-fluid', 'large', 'sender'), record('pericardial-fluid', 'small')];
    expect(says('pericardium-pleura', facts({}, sweep, two))).not.toContain('large amount');
    expect(
      says('pericardium-pleura', facts({}, sweep, [record('pericardial-fluid', 'large', 'sender')])),
    ).toMatch(/^By the sender: a large amount of fluid round the heart\./);
  });

  it('never let something not seen stand as excluded', () => {
    const none = says(
      'pericardium-pleura',
      facts({}, adequate('effusion-sweep'), [
        record('pericardial-fluid', 'none'),
        record('pleural-fluid', 'not-seen'),
      ]),
    );
    expect(none).toContain('that does not exclude it');
    expect(none).toMatch(/Not assessed: .*fluid round the lungs/);
    for (const [code, finding] of Object.entries(observedFindings))
      for (const value of ['no', 'none'])
        if (finding.says[value] !== undefined && !['cavity-closes', 'lung-sliding'].includes(code))
          expect(finding.says[value], `${code} ${value}`).toMatch(
            /exclude|in the views that were given|can hide/,
          );
  });

  it('say that the view was doubtful, and why', () => {
    const doubtful: JudgedView[] = [
      { view: 'rps-short-aortic', judged: 'doubtful', why: 'outlet in the cut.' },
    ];
    const text = says('left-atrium', facts({ measure: { 'la-sax': 24, 'ao-sax': 13 } }, doubtful));
    expect(text).toContain('Seen only in a view that was judged doubtful (outlet in the cut).');
  });

  it('count B-lines by side, with the points that were looked at', () => {
    const count = (code: MeasurementRecord['code'], value: number) =>
      ({ code, value, supersededById: null, withdrawn: false }) as MeasurementRecord;
    const text = says(
      'pericardium-pleura',
      facts(
        {},
        adequate('lung-points'),
        [],
        [count('b-lines-l1', 2), count('b-lines-l2', 1), count('b-lines-r1', 4)],
      ),
    );
    expect(text).toContain('B-lines counted: 3 at 2 points on the left and 4 at 1 point on the right.');
  });

  it("count a point of B-lines once: the reader's before the sender's, people only, the largest of the beats", () => {
    const count = (
      code: MeasurementRecord['code'],
      value: number,
      side: MeasurementRecord['side'],
      beat: number | null = null,
    ) => ({ code, value, side, beat, supersededById: null, withdrawn: false }) as MeasurementRecord;
    const counts = [
      count('b-lines-l1', 5, 'sender'),
      count('b-lines-l1', 2, 'reader'),
      count('b-lines-r1', 1, 'sender', 1),
      count('b-lines-r1', 3, 'sender', 2),
      count('b-lines-r2', 9, 'machine'),
    ];
    const text = says('pericardium-pleura', facts({}, adequate('lung-points'), [], counts));
    expect(text).toContain('B-lines counted: 2 at 1 point on the left and 3 at 1 point on the right.');
  });

  it('list valves and rhythm with what was not assessed', () => {
    const valves = facts({ measure: { 'ao-vmax': 1.2, 'tr-vmax': 2.4 } });
    expect(says('aortic-outflow', valves)).toMatch(/Not assessed: [^.]*valve lesions/);
    expect(says('tricuspid-pulmonic', valves)).toMatch(/Not assessed: [^.]*valve lesions/);
    // Told, but without a heart rate: the engine's own check of the rhythm could not run.
    const rhythm = facts({ state: { rhythm: 'sinus' } });
    expect(says('rhythm', rhythm)).toContain(
      'The heart rate was not given: the rhythm was not checked against it.',
    );
    // 'By the sender: sinus. Not assessed: rhythm.' would contradict itself.
    expect(says('rhythm', rhythm)).not.toContain('Not assessed: rhythm');
  });

  it('say of rhythm who told it and that another time is not excluded', () => {
    const rate = {
      code: 'heart-rate',
      value: 120,
      supersededById: null,
      withdrawn: false,
    } as MeasurementRecord;
    const parts: Parts = { measure: { 'heart-rate': 120 } };
    const text = says('rhythm', facts(parts, adequate('rps-long-4ch'), [], [rate]));
    expect(text).toContain('Rhythm at the scan, by the sender: sinus.');
    expect(text).toContain('An arrhythmia at another time is not excluded.');
    expect(text).not.toContain('The heart rate was not given.');
  });
});

describe('whatever was measured and noted', () => {
  const sides = fc.constantFrom<ObservationRecord['side']>('sender', 'reader');
  const observation = fc.constantFrom(...(Object.keys(observationCodes) as ObservationCode[])).chain((code) =>
    fc.record({
      code: fc.constant(code),
      value: fc.constantFrom<string>(...observationCodes[code].values),
      side: sides,
    }),
  );
  const measure = fc
    .dictionary(
      fc.constantFrom(...(Object.keys(measurementCodes) as (keyof typeof measurementCodes)[])),
      fc.double({ min: 0.3, max: 60, noNaN: true }),
      { maxKeys: 14 },
    )
    .map((m) => m as Parts['measure']);
  const view = fc.record({
    view: fc.constantFrom(...viewId.options),
    judged: fc.constantFrom<JudgedView['judged']>('adequate', 'doubtful'),
    why: fc.constantFrom('', 'panting'),
  });
  const cases = fc
    .record({
      species: fc.constantFrom<Species>('dog', 'cat', 'horse', 'ferret', 'rabbit'),
      kg: fc.option(fc.double({ min: 0.5, max: 600, noNaN: true })),
      measure,
      noted: fc.array(observation, { maxLength: 10 }),
      judged: fc.array(view, { maxLength: 8 }),
    })
    .map(({ species, kg, measure: m, noted, judged }) =>
      facts(
        { species, kg, measure: m ?? {} },
        judged,
        noted.map((n) => record(n.code, n.value, n.side)),
      ),
    );
  const everySentence = (check: (p: FindingProposal, f: ReturnType<typeof facts>) => void) =>
    fc.assert(
      fc.property(cases, (f) => {
        for (const p of proposeFindings(f)) check(p, f);
      }),
      { numRuns: 300 },
    );

  it('is never said with a word of reassurance', () => {
    const banned =
      /\b(normal|unremarkable|healthy|fine|good|safe|reassuring|nothing wrong|no abnormalit\w+|excluded: no)\b/i;
    everySentence((p) => {
      // 'Weight-normalised' is a name of a size; 'normal side' is a grade's own name and carries its scale beside it.
      const text = (p.text ?? '')
        .replace(/[Ww]eight-normalised/g, '')
        .replace(/normal side on '/g, '')
        .replace(/up to normal on '/g, '')
        .replace(/between normal and enlarged on '/g, '');
      expect(text).not.toMatch(banned);
    });
  });

  it('is proposed in whole sentences that fit the field, or not at all', () => {
    everySentence((p) => {
      expect(p.because.endsWith('.')).toBe(true);
      if (p.text === null) return;
      expect(p.text).toMatch(/^\p{Lu}/u);
      expect(p.text.endsWith('.')).toBe(true);
      expect(p.text.length).toBeLessThanOrEqual(2000);
      expect(p.text).not.toMatch(/undefined|NaN|null|\.\.| {2}|!/);
    });
  });

  it('is proposed for no structure of which no view was judged', () => {
    everySentence((p, f) => {
      if (p.structure === 'rhythm') {
        if (f.judged.length === 0) expect(p.text).toBeNull();
        return;
      }
      const shown = viewsOfStructure(p.structure, f.species);
      if (!f.judged.some((j) => shown.includes(j.view))) expect(p.text).toBeNull();
    });
  });

  it('names what the engine could not assess, wherever it says anything', () => {
    everySentence((p, f) => {
      if (p.structure !== 'left-atrium' || p.text === null) return;
      if (f.interpretation.checks.notAssessed.includes('atrial-clot'))
        expect(p.text).toMatch(/Not assessed: .*clot in the left atrium/);
    });
  });
});

describe('tables', () => {
  it('give every index a structure, or say that none owns it', () => {
    const placed = [
      ...Object.values(structureIndices).flatMap((aspects) => aspects.flatMap((a) => a.codes)),
      ...indicesOfNoStructure,
    ].sort();
    expect(new Set(placed).size).toBe(placed.length);
    expect(Object.keys(indexNames).filter((code) => !placed.includes(code))).toEqual([]);
  });

  it('give every finding that may be coded a sentence for each answer but not-seen', () => {
    for (const [code, entry] of Object.entries(observationCodes)) {
      if (entry.kind !== 'finding') continue;
      const said = Object.keys(observedFindings[code as ObservationCode]?.says ?? {}).sort();
      expect(said, code).toEqual(entry.values.filter((v) => v !== 'not-seen').sort());
    }
  });
});

describe('stage, rescan and recheck', () => {
  it('offers the stage as the engine words it, with what is met and what is not given', () => {
    const f = facts({ measure: { lvidd: 38.2, lvids: 21.5, 'la-sax': 24, 'ao-sax': 13 } });
    const [first] = proposeStages(f.interpretation.stages);
    expect(first?.text).toMatch(/^Echo criteria of B2 are met/);
    expect(first?.text).not.toMatch(/\bis B2\b/);
    expect(first?.because.join(' ')).toMatch(/Met: .*Not given: .*Source: /);
    for (const { text } of proposeStages(f.interpretation.stages))
      expect((text ?? '').length).toBeLessThanOrEqual(120);
  });

  it('offers no stage where the engine names none, and says what it asks for', () => {
    const cat = facts({ species: 'cat', measure: { 'wall-max-d': 6.4, 'la-sax': 13.2, 'ao-sax': 9 } });
    const open = proposeStages(cat.interpretation.stages).find((p) => p.said.includes('B1 or B2'));
    expect(open?.text).toBeNull();
    expect(open?.said).toContain('a reader must judge the atrium');
  });

  it('gives every stage code of the engine a text that fits the field, or none', () => {
    for (const code of stageCodesInWords) {
      const [offer] = proposeStages([
        {
          scheme: 'acvim-mmvd-2019',
          code,
          met: [],
          unmet: [],
          missing: [],
          source: { citation: 'x', doi: null, status: 'primary' },
        },
      ]);
      if (offer?.text === null)
        expect([
          'b1-or-b2-needs-atrium-judged',
          'echo-criteria-b2-not-met',
          'dcm-score-open',
          'dcm-score-not-reached',
        ]).toContain(code);
      else expect(offer?.text).toMatch(/^\p{Lu}/u);
    }
  });

  it('says how a missing view is got, and asks for nothing while the patient is in distress', () => {
    const { completeness } = facts({}).interpretation;
    const [first] = proposeRescan(completeness);
    expect(first?.text).toMatch(/^Right parasternal .*, missing: /);
    expect(proposeRescan({ ...completeness, againHeld: 'distress' })).toEqual([]);
  });

  // Checked against PostgreSQL: select date '2026-08-31' + interval '6 months' → 2027-02-28, and so for the others.
  it('counts months on the calendar, ending on the last day where there is no such day', () => {
    expect(monthsAfter('2026-08-31', 6)).toBe('2027-02-28');
    expect(monthsAfter('2027-08-31', 6)).toBe('2028-02-29');
    expect(monthsAfter('2026-11-25', 1)).toBe('2026-12-25');
    expect(monthsAfter('2026-11-25', 12)).toBe('2027-11-25');
    expect(monthsAfter('2026-12-31', 3)).toBe('2027-03-31');
    expect(monthsAfter('soon', 3)).toBe('');
  });
});

describe('the beginning of a page for the keeper', () => {
  const start = (more: Partial<Parameters<typeof startKeeperPage>[0]> = {}) =>
    startKeeperPage({
      patientName: 'Pebble',
      species: 'cat',
      recheckOn: '2027-05-25',
      ...more,
    });

  it('is marked as not checked, and names when to come back', () => {
    expect(start().startsWith(TO_BE_CHECKED)).toBe(true);
    expect(start()).toContain('25 May 2027');
    expect(start({ recheckOn: null })).toContain('Ask your vet when');
  });

  it('leaves no number of breaths unsaid: 30 itself is a reason to call', () => {
    expect(start()).toContain('30 or more, counted twice');
  });

  it('asks nobody to count a sleeping horse or to look for its open mouth', () => {
    const text = start({ species: 'horse' });
    expect(text).not.toMatch(/asleep|Count |open mouth/);
    expect(text).toContain('nostrils flared, or breathing with effort, while at rest (common practice)');
  });

  it('carries no diagnosis, no dose, no index, and its bound of breaths only for dog and cat, as common practice', () => {
    for (const species of ['dog', 'cat', 'horse', 'ferret', 'rabbit', 'other'] as Species[]) {
      const text = start({ species });
      expect(text).not.toMatch(/\bmg\b|tablet|LVIDD|LA:Ao|limit|disease|failure|normal|!/i);
      expect(text.includes('Under 30 a minute')).toBe(species === 'dog' || species === 'cat');
      if (text.includes('Under 30')) expect(text).toContain('(common practice)');
    }
  });
});
