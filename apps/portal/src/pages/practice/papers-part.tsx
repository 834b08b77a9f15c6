import type { PracticePage, PracticeParticulars } from '@chordae/contract';
import { useQueryClient } from '@tanstack/react-query';
import { useId, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { TextArea, TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';
import '../../styles/paper.css';

/** Name, telephone, zone and letterhead, with the head as it prints. */
export function PapersPart({ page, mayEdit }: { page: PracticePage; mayEdit: boolean }) {
  const [typed, setTyped] = useState<PracticeParticulars | null>(null);
  // What the typing began on: what somebody else changes meanwhile is not overwritten.
  const [seen, setSeen] = useState(page.particulars);
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const client = useQueryClient();
  const zones = useId();
  const shown = typed ?? page.particulars;
  const set = (part: Partial<PracticeParticulars>) => {
    if (!typed) setSeen(page.particulars);
    setTyped({ ...shown, ...part });
  };
  const save = async () => {
    if (!typed) return;
    setProblem(null);
    setBusy(true);
    try {
      await call('putPracticeParticulars', {
        params: { practiceId: page.id },
        body: { seen, wanted: tidy(typed) },
      });
      await client.invalidateQueries({ queryKey: ['practice-page', page.id] });
      await client.invalidateQueries({ queryKey: ['me'] });
      setTyped(null);
    } catch (error) {
      setProblem(sentenceOf(error));
    } finally {
      setBusy(false);
    }
  };
  return (
    <section className="form-part" aria-labelledby="pr-papers">
      <h2 id="pr-papers">Papers</h2>
      {mayEdit ? null : <p className="hint">The manager of the practice can change these.</p>}
      <div className="papers">
        <div className="stack">
          <TextField
            label="Name of the practice"
            value={shown.name}
            disabled={!mayEdit}
            onChange={(e) => set({ name: e.target.value })}
          />
          <TextField
            label="Telephone"
            type="tel"
            value={shown.phone}
            disabled={!mayEdit}
            hint="Readers call it when something cannot wait."
            onChange={(e) => set({ phone: e.target.value })}
          />
          <TextField
            label="Time zone"
            list={zones}
            value={shown.zone}
            disabled={!mayEdit}
            hint="Days and months are told by it."
            onChange={(e) => set({ zone: e.target.value })}
          />
          {mayEdit ? (
            <datalist id={zones}>
              {Intl.supportedValuesOf('timeZone').map((z) => (
                <option key={z} value={z} />
              ))}
            </datalist>
          ) : null}
          <TextArea
            label="Letterhead, a line each"
            rows={4}
            value={shown.letterhead.lines.join('\n')}
            disabled={!mayEdit}
            hint="Address, opening hours, registration: up to six lines."
            onChange={(e) => set({ letterhead: { ...shown.letterhead, lines: e.target.value.split('\n') } })}
          />
          <TextArea
            label="Foot of the page"
            rows={2}
            value={shown.letterhead.footer}
            disabled={!mayEdit}
            onChange={(e) => set({ letterhead: { ...shown.letterhead, footer: e.target.value } })}
          />
        </div>
        <figure className="papers-preview">
          <div className="paper paper-sample">
            <header className="paper-head">
              <div>
                <p className="paper-name">{shown.name}</p>
                {page.demo ? <p>Invented demonstration: no real person, clinic or animal.</p> : null}
              </div>
              <p className="paper-lines">{tidy(shown).letterhead.lines.join('\n')}</p>
            </header>
            <p className="paper-sample-text">The scan report stands here.</p>
            {shown.letterhead.footer.trim() ? (
              <footer className="paper-sample-foot">{shown.letterhead.footer}</footer>
            ) : null}
          </div>
          <figcaption className="hint">As the practice’s own papers print: scan reports.</figcaption>
        </figure>
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      {typed ? (
        <p className="row">
          <Button look="main" disabled={busy} onClick={() => void save()}>
            {busy ? 'Saving …' : 'Save'}
          </Button>
          <Button
            look="quiet"
            onClick={() => {
              setTyped(null);
              setProblem(null);
            }}
          >
            Leave as it was
          </Button>
        </p>
      ) : null}
    </section>
  );
}

/** Empty lines at the end are no lines. */
function tidy(p: PracticeParticulars): PracticeParticulars {
  const lines = p.letterhead.lines.map((line) => line.trim());
  while (lines.length > 0 && lines.at(-1) === '') lines.pop();
  return { ...p, letterhead: { lines, footer: p.letterhead.footer.trim() } };
}
