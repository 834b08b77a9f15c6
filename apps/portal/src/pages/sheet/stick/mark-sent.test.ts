import { describe, expect, it } from 'vitest';
import type { KnownFile } from '../../../host/uploads/sent-before';
import { saySentBefore } from './mark-sent';

const file = (patientName: string | null, referralNumber: number | null): KnownFile => ({
  sha256: '0'.repeat(64),
  patientName,
  referralNumber,
});

describe('files of a stick that were sent before', () => {
  it('are counted, with the referral they are in', () => {
    expect(saySentBefore({ known: [file('Pip', 8)], of: 3 }, 'Pip')).toEqual({
      text: '1 of 3 files was sent before: for Pip in referral 8. It is not sent again.',
      other: false,
    });
    expect(saySentBefore({ known: [file('Pip', 8), file('Pip', 9)], of: 2 }, 'Pip')?.text).toBe(
      'All 2 files were sent before: for Pip in referral 8, for Pip in referral 9. They are not sent again.',
    );
  });
  it('are an alarm where they were sent for another patient', () => {
    expect(saySentBefore({ known: [file('Bruno', 7)], of: 1 }, 'Pip')).toEqual({
      text: 'The file was sent before: for Bruno in referral 7. It is not sent again.',
      other: true,
    });
    expect(saySentBefore({ known: [file(null, null)], of: 1 }, 'Pip')?.other).toBe(false);
  });
  it('are not spoken of where there are none', () => {
    expect(saySentBefore({ known: [], of: 4 }, 'Pip')).toBeNull();
  });
});
