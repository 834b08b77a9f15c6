import type { CaseView, Interpretation, ObservationCode } from '@chordae/contract';
import { scanPlan } from '@chordae/interpretation';
import { capital, observationNames, valueNames } from '@chordae/words';
import { Choices, Tick } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { DistressSwitch } from './distress-switch';
import type { Answers } from './use-answers';

const TICKS = [
  'open-mouth-breathing',
  'breathing-effort',
  'blue-gums',
  'cannot-lie',
  'collapse',
  'fainting',
  'weak-pulses-or-pale',
  'cold-painful-limb',
  'sudden-paralysis',
  'fever',
  'dark-urine',
  'dry-or-bled',
  'blue-hind-end',
  'bleeding-or-rodent-poison',
] as const satisfies readonly ObservationCode[];

const AMOUNT = ['none', 'small', 'moderate', 'large', 'not-seen'];
const SEEN = ['yes', 'no', 'not-seen'];
/** Answers that may be given; the server holds the same list and refuses others. */
const VALUES: Partial<Record<ObservationCode, readonly string[]>> = {
  'murmur-grade': ['0', '1', '2', '3', '4', '5', '6', 'not-heard-for'],
  'murmur-new': ['yes', 'no'],
  'murmur-continuous': ['yes', 'no'],
  'ever-in-failure': ['yes', 'no', 'unknown'],
  'pressure-method': ['doppler', 'oscillometric', 'other'],
  'nt-probnp-assay': ['laboratory-number', 'in-clinic-number', 'in-clinic-yes-no', 'other', 'unknown'],
  arrhythmia: ['yes', 'no', 'wide-beats-in-runs'],
  'pericardial-fluid': AMOUNT,
  'pleural-fluid': AMOUNT,
  'b-lines': ['none', 'few', 'many-one-side', 'many-both-sides', 'not-seen'],
  'la-by-eye': ['not-large', 'large', 'very-large', 'not-seen'],
  'la-clot': ['none', 'fixed', 'floating', 'smoke', 'not-seen'],
  'wall-collapse': SEEN,
  'septum-flat': SEEN,
  'rv-as-large-as-lv': SEEN,
  'worms-in-right-heart': SEEN,
  'duct-flow': SEEN,
  'outlet-narrow': SEEN,
};
const ALWAYS: readonly ObservationCode[] = ['murmur-grade', 'murmur-new', 'ever-in-failure', 'arrhythmia'];
const BY_EYE: readonly ObservationCode[] = ['pericardial-fluid', 'pleural-fluid', 'b-lines', 'la-by-eye'];

/** Signs first: what is ticked here outranks every number. */
export function SignsPart({
  c,
  answers,
  result,
  editing,
}: {
  c: CaseView;
  answers: Answers;
  result: Interpretation;
  editing: boolean;
}) {
  const observe = scanPlan(c.referral.plan).observe as ObservationCode[];
  const seen = [...new Set([...observe, ...BY_EYE])].filter((code) => VALUES[code] && !ALWAYS.includes(code));
  return (
    <section className="part" aria-labelledby="p-signs">
      <h2 id="p-signs">How the patient is</h2>
      {answers.problem ? <Problem>{answers.problem}</Problem> : null}
      <DistressSwitch c={c} answers={answers} result={result} editing={editing} />
      <fieldset className="ticks">
        <legend className="label">Tick what applies now</legend>
        <div className="ticks-grid">
          {TICKS.map((code) => (
            <Tick
              key={code}
              label={capital(observationNames[code])}
              disabled={!editing}
              checked={answers.valueOf(code) === 'yes'}
              onChange={(on) => answers.give(code, on ? 'yes' : 'no')}
            />
          ))}
        </div>
      </fieldset>
      {ALWAYS.map((code) => (
        <Answer key={code} code={code} answers={answers} editing={editing} />
      ))}
      <h3>Seen by eye</h3>
      {seen.map((code) => (
        <Answer key={code} code={code} answers={answers} editing={editing} />
      ))}
    </section>
  );
}

export function Answer({
  code,
  answers,
  editing,
}: {
  code: ObservationCode;
  answers: Answers;
  editing: boolean;
}) {
  return (
    <Choices
      label={capital(observationNames[code])}
      disabled={!editing}
      choices={(VALUES[code] ?? ['yes', 'no']).map((v) => [v, valueNames[v] ?? v] as const)}
      value={answers.valueOf(code)}
      onChoose={(value) => answers.give(code, value)}
    />
  );
}
