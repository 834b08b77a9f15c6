import type { CaseView, Interpretation, ScanPlanId, Urgency } from '@chordae/contract';
import { scanPlans } from '@chordae/interpretation';
import { planNames, urgencyNames } from '@chordae/words';
import { Choices, SelectField, TextArea } from '../../kit/field';

const RANK: Record<Urgency, number> = { emergency: 0, urgent: 1, routine: 2 };

/** What is asked, the history, and how soon. */
export function QuestionPart({
  c,
  own,
  result,
  editing,
  onChange,
}: {
  c: CaseView;
  own: Readonly<Record<string, unknown>>;
  result: Interpretation;
  editing: boolean;
  onChange: (fields: Record<string, unknown>) => void;
}) {
  const shown = { ...c.referral, ...own } as CaseView['referral'];
  const lower = shown.urgencyAsked !== null && RANK[shown.urgencyAsked] > RANK[result.urgencyProposed];
  return (
    <section className="part" aria-labelledby="p-question">
      <h2 id="p-question">Question</h2>
      <SelectField
        label="Scan plan"
        wide
        disabled={!editing}
        choices={scanPlans.map((p) => [p.id, planNames[p.id]] as const)}
        value={shown.plan}
        onChange={(e) => onChange({ plan: e.target.value as ScanPlanId })}
      />
      <TextArea
        label="What you want to know"
        disabled={!editing}
        rows={2}
        value={shown.question}
        onChange={(e) => onChange({ question: e.target.value })}
      />
      <TextArea
        label="History"
        disabled={!editing}
        rows={4}
        value={shown.history}
        onChange={(e) => onChange({ history: e.target.value })}
      />
      <Choices
        label="How soon do you need it"
        disabled={!editing}
        choices={(['emergency', 'urgent', 'routine'] as const).map((u) => [u, urgencyNames[u]] as const)}
        value={shown.urgencyAsked}
        hint={`Proposed from what stands here: ${urgencyNames[result.urgencyProposed]}. The higher of the two stands.`}
        onChoose={(u) => onChange({ urgencyAsked: u })}
      />
      {lower ? (
        <TextArea
          label="Why less urgent than proposed"
          hint="Without a reason the proposed urgency stands."
          disabled={!editing}
          rows={2}
          value={shown.urgencyReason}
          onChange={(e) => onChange({ urgencyReason: e.target.value })}
        />
      ) : null}
    </section>
  );
}
