import type { CaseView, MeasurementCode, SecondRead, Structure } from '@chordae/contract';
import { parseQuantity, unitOf, wantedMeasurements } from '@chordae/interpretation';
import { capital, measurementNames, sayError, structureNames, urgencyNames } from '@chordae/words';
import { type FormEvent, useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { usePatchQueue } from '../../host/use-patch-queue';
import { Button } from '../../kit/button';
import { Choices, TextArea, TextField } from '../../kit/field';
import { Conflicts, SavedState } from '../../kit/saved';
import { FINDING_STATES, NOT_ASSESSED } from '../../kit/writing/findings';
import { fieldUnit } from '../sheet/use-cells';

const FIELD_NAMES: Record<string, string> = {
  findings: 'the findings',
  conclusion: 'the conclusion',
  stage: 'the stage',
  urgency: 'the urgency',
  values: 'the measurements',
};
const URGENCIES = Object.entries(urgencyNames).map(([id, words]) => [id, capital(words)] as const);

/** A second, blind read: short, and comparable with the first. */
export function SecondReadPanel({ c, read }: { c: CaseView; read: SecondRead }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id, secondId: read.id };
  const reread = useRereadCase(place);
  const saved = usePatchQueue(
    read.revision,
    (patch) => call('patchSecondRead', { params: place, body: patch }),
    reread,
  );
  const shown: SecondRead = { ...read, ...saved.own };
  const set = (fields: Record<string, unknown>) => saved.queue.set(fields);
  const finding = (structure: Structure) => shown.findings[structure] ?? NOT_ASSESSED;
  // Two keys may come before the next paint: the second must rest on what the first has set.
  const findings = useRef(shown.findings);
  findings.current = shown.findings;
  const write = (structure: Structure, part: Record<string, unknown>) => {
    findings.current = { ...findings.current, [structure]: { ...finding(structure), ...part } };
    set({ findings: findings.current });
  };
  const codes = wantedMeasurements(c.referral.plan, c.patient.species).map((m) => m.code);
  return (
    <div className="stack">
      <p className="notice notice-note">
        A second, blind read. What the first reader measured, wrote and signed is hidden from you until both
        have signed. The practice gets the first read only.
      </p>
      <p className="row">
        <SavedState views={[saved]} />
      </p>
      <Conflicts
        conflicts={saved.conflicts}
        nameOf={(field) => FIELD_NAMES[field] ?? field}
        onResolve={(field, keep) => saved.queue.resolve(field, keep)}
      />
      {(Object.keys(structureNames) as Structure[]).map((structure) => (
        <div key={structure} className="finding">
          <Choices
            label={capital(structureNames[structure])}
            choices={FINDING_STATES}
            value={finding(structure).state}
            onChoose={(state) => write(structure, { state })}
          />
          {finding(structure).state === 'described' ? (
            <TextArea
              label={`What is seen: ${structureNames[structure]}`}
              rows={2}
              value={finding(structure).text}
              onChange={(e) => write(structure, { text: e.target.value })}
            />
          ) : null}
        </div>
      ))}
      <h3>Measured by yourself</h3>
      {codes.map((code) => (
        <OwnValue
          key={code}
          code={code}
          value={shown.values[code]?.value ?? null}
          onValue={(value) => {
            const { [code]: _, ...rest } = shown.values;
            set({ values: value === null ? rest : { ...rest, [code]: { value, unit: unitOf(code) } } });
          }}
        />
      ))}
      <TextArea
        label="Conclusion"
        rows={4}
        value={shown.conclusion}
        onChange={(e) => set({ conclusion: e.target.value })}
      />
      <TextField label="Stage" value={shown.stage} onChange={(e) => set({ stage: e.target.value })} />
      <Choices
        label="Urgency"
        choices={URGENCIES}
        value={shown.urgency}
        onChoose={(urgency) => set({ urgency })}
      />
      <Sign
        onSign={async (password) => {
          const base = await saved.queue.settle();
          await call('signSecondRead', { params: place, body: { base, password } });
          await reread();
        }}
      />
    </div>
  );
}

function OwnValue({
  code,
  value,
  onValue,
}: {
  code: MeasurementCode;
  value: number | null;
  onValue: (value: number | null) => void;
}) {
  const [text, setText] = useState(value === null ? '' : String(value));
  const [problem, setProblem] = useState<string | null>(null);
  const settle = () => {
    setProblem(null);
    if (text.trim() === '') return onValue(null);
    const parsed = parseQuantity(text, code, fieldUnit(code));
    if (!parsed.ok) return setProblem(sayError(parsed.code, parsed.data));
    onValue(parsed.value);
  };
  return (
    <TextField
      label={measurementNames[code].short}
      inputMode="decimal"
      value={text}
      hint={fieldUnit(code) ?? undefined}
      problem={problem}
      onChange={(e) => setText(e.target.value)}
      onBlur={settle}
    />
  );
}

function Sign({ onSign }: { onSign: (password: string) => Promise<void> }) {
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setProblem(null);
    onSign(password).catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <form className="stack" onSubmit={submit}>
      <TextField
        label="Your password, to sign"
        type="password"
        value={password}
        problem={problem}
        onChange={(e) => setPassword(e.target.value)}
      />
      <p className="row">
        <Button type="submit" look="main" disabled={password === ''}>
          Sign the second read
        </Button>
      </p>
    </form>
  );
}
