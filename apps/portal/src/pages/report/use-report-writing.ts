import { type CaseView, EMPTY_REPORT, type ReportText } from '@chordae/contract';
import { useRef } from 'react';
import { call } from '../../host/api';
import { rowOf } from '../../host/device';
import { keptKey } from '../../host/kept-text';
import { useRereadCase } from '../../host/use-case';
import { useWriting, type Writing, type Written } from '../../host/use-writing';
import { uuidv7 } from '../../host/uuid';

export type ReportWriting = Writing<ReportText>;

/** Writing in a scan report. The first words make its draft on the server, under an id made here. */
export function useReportWriting(c: CaseView): ReportWriting {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const made = useRef(uuidv7());
  const { draft } = c.report;
  const start: Written<ReportText> = draft ?? { ...EMPTY_REPORT, revision: 1 };
  return useWriting<ReportText>(start, {
    // By case, not by draft: there is something to keep before there is a draft.
    keepAs: (memberId) => keptKey(memberId, `report.${place.referralId}`),
    send: (patch) =>
      call('patchReport', { params: place, body: { ...patch, draftId: draft?.id ?? made.current } }),
    reread,
    row: rowOf.report(place.referralId),
  });
}

/** Exactly the words of a report, without what its row carries beside them. */
export function wordsOf(shown: Written<ReportText>): ReportText {
  const names = Object.keys(EMPTY_REPORT) as (keyof ReportText)[];
  return Object.fromEntries(names.map((name) => [name, shown[name]])) as ReportText;
}
