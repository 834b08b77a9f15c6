import type { ScanPlanId, Species } from '@chordae/contract';
import { scanPlans, viewsOf, wantedMeasurements } from '@chordae/interpretation';
import { measurementNames, planNames, viewNames } from '@chordae/words';
import { SelectField } from '../../kit/field';
import { ViewSketch } from '../../kit/view-drawing';

/** The question, and what it needs: so that it can still be scanned. */
export function PlanChoice({
  plan,
  species,
  problem = null,
  onChoose,
}: {
  plan: ScanPlanId | null;
  species: Species | '';
  problem?: string | null;
  onChoose: (plan: ScanPlanId | null) => void;
}) {
  return (
    <>
      <SelectField
        label="What do you want to know"
        wide
        choices={[['', 'choose a question'], ...scanPlans.map((p) => [p.id, planNames[p.id]] as const)]}
        value={plan ?? ''}
        problem={problem}
        onChange={(e) => onChoose((e.target.value || null) as ScanPlanId | null)}
      />
      {plan ? (
        <div className="stack">
          <p className="hint">
            Must be there; the rest helps.
            {species === ''
              ? ''
              : ` Measured: ${wantedMeasurements(plan, species)
                  .map((m) => measurementNames[m.code].short)
                  .join(', ')}.`}
          </p>
          <ul className="plan-needs">
            {viewsOf(plan)
              .filter((v) => v.need === 'must')
              .map((v) => (
                <li key={v.view}>
                  <ViewSketch view={v.view} state="missing" />
                  {viewNames[v.view]}
                </li>
              ))}
          </ul>
        </div>
      ) : null}
    </>
  );
}
