import type { InputHTMLAttributes, ReactNode, SelectHTMLAttributes, TextareaHTMLAttributes } from 'react';
import { useId } from 'react';

interface Frame {
  readonly label: string;
  readonly hint?: ReactNode;
  /** A sentence: what is wrong and what to write instead. */
  readonly problem?: string | null;
  readonly wide?: boolean;
}

function Framed({ id, label, hint, problem, wide, children }: Frame & { id: string; children: ReactNode }) {
  return (
    <div className={`field ${wide ? 'field-wide' : ''}`}>
      <label htmlFor={id}>{label}</label>
      {children}
      {hint ? (
        <p id={`${id}-hint`} className="hint">
          {hint}
        </p>
      ) : null}
      {problem ? (
        <p id={`${id}-problem`} className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </div>
  );
}

function described(id: string, { hint, problem }: Frame) {
  const by = [hint ? `${id}-hint` : '', problem ? `${id}-problem` : ''].filter(Boolean).join(' ');
  return {
    'aria-describedby': by === '' ? undefined : by,
    'aria-invalid': problem ? true : undefined,
  } as const;
}

export function TextField({
  label,
  hint,
  problem,
  wide,
  ...rest
}: Frame & InputHTMLAttributes<HTMLInputElement>) {
  const id = useId();
  const frame = { label, hint, problem: problem ?? null, wide: wide ?? false };
  return (
    <Framed id={id} {...frame}>
      <input id={id} {...described(id, frame)} autoComplete="off" {...rest} />
    </Framed>
  );
}

export function TextArea({
  label,
  hint,
  problem,
  wide,
  ...rest
}: Frame & TextareaHTMLAttributes<HTMLTextAreaElement>) {
  const id = useId();
  const frame = { label, hint, problem: problem ?? null, wide: wide ?? true };
  return (
    <Framed id={id} {...frame}>
      <textarea id={id} rows={3} {...described(id, frame)} {...rest} />
    </Framed>
  );
}

export type Choice = readonly [value: string, words: string];

interface ChoiceProps extends Frame {
  readonly choices: readonly Choice[];
}

export function SelectField({
  label,
  hint,
  problem,
  wide,
  choices,
  ...rest
}: ChoiceProps & SelectHTMLAttributes<HTMLSelectElement>) {
  const id = useId();
  const frame = { label, hint, problem: problem ?? null, wide: wide ?? false };
  return (
    <Framed id={id} {...frame}>
      <select id={id} {...described(id, frame)} {...rest}>
        {choices.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </Framed>
  );
}

/** A short list of answers, all in sight. Nothing is chosen until somebody has chosen. */
export function Choices({
  label,
  hint,
  problem,
  choices,
  value,
  onChoose,
  disabled,
}: ChoiceProps & { value: string | null; onChoose: (value: string) => void; disabled?: boolean }) {
  const id = useId();
  return (
    <fieldset className="choices" disabled={disabled}>
      <legend>{label}</legend>
      <div className="choices-row">
        {choices.map(([choice, words]) => (
          <label key={choice} className="choice">
            <input
              type="radio"
              name={id}
              value={choice}
              checked={value === choice}
              onChange={() => onChoose(choice)}
            />
            <span>{words}</span>
          </label>
        ))}
      </div>
      {hint ? <p className="hint">{hint}</p> : null}
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </fieldset>
  );
}

export function Tick({
  label,
  checked,
  onChange,
  disabled,
}: {
  label: string;
  checked: boolean;
  onChange: (checked: boolean) => void;
  disabled?: boolean;
}) {
  return (
    <label className="tick">
      <input
        type="checkbox"
        checked={checked}
        disabled={disabled}
        onChange={(e) => onChange(e.target.checked)}
      />
      <span>{label}</span>
    </label>
  );
}
