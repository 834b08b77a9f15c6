import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Analysis } from '@chordae/contract';
import { analysis } from '@chordae/contract';
import { phantomDicom, randomCine, renderCine, seededRandom, writeAvi } from '@chordae/phantom';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { madeDicom } from '../../../../tests/support/made-dicom';
import { madeReport } from '../../../../tests/support/made-report';
import { analyse } from './analyse';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'chordae-analyse-test-'));
  mkdirSync(join(folder, 'STICK', 'DEEP'), { recursive: true });
  writeFileSync(join(folder, 'STICK', 'IM1'), madeDicom({ frames: 5 }));
  writeFileSync(join(folder, 'STICK', 'DEEP', 'SR'), madeReport());
  writeFileSync(join(folder, 'STICK', 'notes.txt'), 'Only words, which are no picture.');
  writeFileSync(join(folder, 'cut.dcm'), madeDicom().subarray(0, 3000));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function run(...args: string[]): Promise<{ code: number; out: string[]; said: string[] }> {
  const out: string[] = [];
  const said: string[] = [];
  const code = await analyse(
    args,
    (line) => out.push(line),
    (line) => said.push(line),
  );
  return { code, out, said };
}

describe('chordae analyse', () => {
  it('answers by its published schema, from the file alone', async () => {
    const { code, out } = await run(join(folder, 'STICK', 'IM1'), '--json');
    expect(code).toBe(0);
    const answer = analysis.parse(JSON.parse(out.join('\n')));
    expect(answer).toMatchObject({
      file: 'IM1',
      what: 'clip',
      framesDecoded: 5,
      regions: [
        {
          region: 1,
          kind: '2d',
          spanX: { value: 12.8, unit: 'cm' },
          spanY: { value: 8, unit: 'cm' },
          usable: true,
        },
      ],
      machine: { patientName: 'EXAMPLE PEBBLE' },
      mask: { state: 'regions', coveredShare: 0.1667 },
      refused: null,
    });
  });

  it('says of a film without regions that a person decides, and what its sector alone would leave', async () => {
    const [widthPx, heightPx] = [320, 240];
    const wish = randomCine(4, 'developing', { view: 'rps-long-4ch', widthPx, heightPx, beats: 1 });
    const { frames } = renderCine({ ...wish, mirrored: false, frameCount: 5 }, 4);
    const film = writeAvi({ widthPx, heightPx, frameTimeMs: 40 }, { coding: 'raw', frames });
    writeFileSync(join(folder, 'film.avi'), film);
    const { out } = await run(join(folder, 'film.avi'), '--json');
    const { mask } = analysis.parse(JSON.parse(out.join('\n')));
    expect(mask).toMatchObject({
      state: 'needs-decision',
      coveredShare: null,
      fan: { proposed: true, reasons: [] },
    });
    expect(mask?.sentence).toContain(
      `The sector was found, and nothing moves beside it: ${Math.round(100 * (mask?.fan?.keptShare ?? 0))} % of the picture would leave`,
    );
  });

  it('gives one line a file for a folder and all below it, and fails when one was refused', async () => {
    const { code, out } = await run(join(folder, 'STICK'), '--json');
    expect(code).toBe(1);
    const answers = out.map((line) => analysis.parse(JSON.parse(line)));
    expect(answers.map((a) => [a.file, a.outcome, a.what])).toEqual([
      [join('DEEP', 'SR'), 'read', 'report'],
      ['IM1', 'read', 'clip'],
      ['notes.txt', 'refused', 'nothing'],
    ]);
    const words = await run(join(folder, 'STICK'));
    expect(words.out[2]).toBe('notes.txt: This is no image or clip: there is nothing in it to show.');
  });

  it('looks at the pictures only when asked, and says what they suggest without guessing the view', async () => {
    const clip = renderCine(
      {
        ...randomCine(4, 'developing', { widthPx: 400, heightPx: 300, beats: 2.6 }),
        heart: 'normal',
        tiltDeg: 34,
      },
      4,
    );
    const patient = {
      name: 'EXAMPLE^PEBBLE',
      number: 'X-1',
      breed: '',
      sex: 'F' as const,
      neutered: true,
      birthDate: '',
      scanDate: '20261125',
      scanTime: '100000',
      keeper: '',
    };
    const file = join(folder, 'tilted.dcm');
    writeFileSync(file, phantomDicom(clip, patient, { coding: 'rle' }, seededRandom(11)));
    const plain = analysis.parse(JSON.parse((await run(file, '--json')).out.join('')));
    expect(plain.picture).toBeUndefined();
    const unnamed = analysis.parse(JSON.parse((await run(file, '--json', '--picture')).out.join('')));
    expect(unnamed.picture?.assessment.shortAxis).toBeNull();
    expect(unnamed.picture?.assessment.cycle.beatsPerMinute).toBeCloseTo(clip.wish.heartRate, -1);
    const named = await run(file, '--json', '--picture', '--view', 'rps-short-papillary', '--species', 'dog');
    const answer = analysis.parse(JSON.parse(named.out.join('')));
    // The clip was cut 34 degrees askew: the truth that it was made from.
    expect(answer.picture?.assessment.shortAxis?.verdict).not.toBe('on-axis');
    expect((await run(file, '--picture', '--view', 'rps-short-papillary')).out.join('')).toContain(
      'pictures:',
    );
    expect((await run(file, '--picture', '--view', 'sideways')).said[0]).toContain('--view: sideways');
    expect((await run(file, '--picture', '--weight', '-3')).said[0]).toContain('--weight');
    expect((await run(file, '--view', 'lap-4ch')).code).toBe(2);
  });

  it('says bad input in one sentence, with a code of its own for a wrong question', async () => {
    const cut = await run(join(folder, 'cut.dcm'));
    expect(cut).toEqual({
      code: 1,
      out: ['cut.dcm: The file is cut off: it promises more than it holds. Copy it again from the machine.'],
      said: [],
    });
    expect(await run(join(folder, 'nowhere'))).toMatchObject({ code: 1, out: [] });
    expect(await run()).toMatchObject({ code: 2, out: [] });
    expect(await run(folder, '--xml')).toMatchObject({ code: 2, out: [] });
  });
});

const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';

describe.skipIf(!existsSync(join(shared, 'MANIFEST.json')))(
  'chordae analyse on open files (CHORDAE_SHARED_DATA)',
  () => {
    it('warns of a scale that would make the picture 46 cm deep', async () => {
      const { out } = await run(join(shared, 'echo_rgb_implicit_8f.dcm'), '--json');
      const answer: Analysis = analysis.parse(JSON.parse(out.join('\n')));
      expect(answer.regions[1]).toMatchObject({ usable: false, spanY: { value: 46.334, unit: 'cm' } });
      expect(answer.problems.map((problem) => problem.code)).toContain('REGION_SCALE_IMPLAUSIBLE');
    });

    it('finds the name and number that stand in a picture whose file gives a region round them', async () => {
      const { out } = await run(join(shared, 'us_mono_uncompressed_27f.dcm'), '--json');
      const answer: Analysis = analysis.parse(JSON.parse(out.join('\n')));
      // Read off the picture: settings at the left, the depth at the lower right, inside the region from row 31 on.
      expect(answer.mask?.stillMarks.some((m) => m.x0 < 40 && m.y0 > 90 && m.y1 < 220)).toBe(true);
      expect(answer.mask?.stillMarks.some((m) => m.x0 > 640 && m.y0 > 530)).toBe(true);
    });
  },
);
