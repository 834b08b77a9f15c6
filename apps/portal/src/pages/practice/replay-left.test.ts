import { describe, expect, it } from 'vitest';
import { sortWork } from './replay-left';

describe('work of somebody who left', () => {
  it('is sorted into writes, files, open questions and signatures, referrals that were not sent, and anything unknown is left out', () => {
    const sorted = sortWork({
      ops: [
        { route: 'putPatient', params: {}, body: {}, about: 'Late' },
        { route: 'deleteEverything', params: {}, body: {}, about: 'x' },
        { route: 'signReport', params: {}, body: {}, about: 'Late' },
        { route: 'sendReferral', params: {}, body: {}, about: 'Late' },
        { upload: true, arrivalId: 'a', referralId: 'r', scanId: 's', fileName: 'clip.dcm' },
        { unsettled: true, about: 'Late', field: 'question', yours: 'mine' },
        'noise',
        null,
      ],
    });
    expect(sorted.ops.map((o) => o.route)).toEqual(['putPatient']);
    expect(sorted.uploads.map((u) => u.fileName)).toEqual(['clip.dcm']);
    expect(sorted.conflicts.map((c) => c.field)).toEqual(['question']);
    expect(sorted.signatures).toBe(1);
    expect(sorted.unsent).toEqual(['Late']);
  });
});
