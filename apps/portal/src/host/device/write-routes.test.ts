import { writesInWords } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { endpoints } from '../endpoints';
import type { Op } from './kept';
import { READS } from './read-routes';
import { WRITES } from './write-routes';

const names = Object.keys(WRITES) as (keyof typeof WRITES)[];

describe('writes that may wait', () => {
  it('may all be sent twice: a POST only where its own id or its end makes it so, and a row where fields change', () => {
    expect(names.length).toBeGreaterThan(8);
    for (const name of names) {
      const [method] = endpoints[name];
      // A signature and a sending carry an id made here; closing a day that is closed changes nothing.
      if (!['signReport', 'sendReferral', 'closeRound'].includes(name))
        expect(['PUT', 'PATCH'], name).toContain(method);
      // Naming a view replaces it whole; every other PATCH carries a base and rests on what stood.
      if (method === 'PATCH' && name !== 'patchClip') expect(WRITES[name]?.row, name).toBeDefined();
    }
  });

  it('have words for the list of what waits', () => {
    expect(names.filter((name) => !writesInWords.includes(name))).toEqual([]);
  });

  it('name what they change, and give a page something to go on with', () => {
    const homes = { ofScan: () => null, ofClip: () => null, partsOf: () => [] };
    const params = { referralId: 'r', patientId: 'p', scanId: 's', clipId: 'c', roundId: 'o', visitId: 'v' };
    const body = { base: 4, fields: {}, scanId: 's', patientId: 'p', scannedOn: '2026-11-25' };
    for (const name of names) {
      const keys = WRITES[name]?.keys(params, body, homes) ?? [];
      expect(keys.length, name).toBeGreaterThan(0);
      expect(keys.join(), name).not.toMatch(/undefined|:$/);
      const op = { route: name, params, body, saidAt: '' } as unknown as Op;
      expect(WRITES[name]?.meanwhile(op), name).toBeTruthy();
    }
  });
});

describe('answers that are kept', () => {
  it('are answers to questions only', () => {
    for (const name of Object.keys(READS) as (keyof typeof READS)[])
      expect(endpoints[name][0], name).toBe('GET');
  });
});
