import type { PracticePage, PracticePerson } from '@chordae/contract';
import { roleNames, sayEnding } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useMe } from '../../host/session';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Problem } from '../../kit/notice';

/** Who works here, as what; a manager ends a membership. */
export function PeoplePart({ page, mayEdit }: { page: PracticePage; mayEdit: boolean }) {
  const [ending, setEnding] = useState<PracticePerson | null>(null);
  return (
    <section className="form-part" aria-labelledby="pr-people">
      <h2 id="pr-people">People</h2>
      <ul className="plain-rows">
        {page.people.map((person) => (
          <li key={person.memberId} className="row">
            <div>
              <p>{person.name}</p>
              <p className="hint">
                {person.roles.map((r) => roleNames[r]).join(', ')} · {person.email}
              </p>
            </div>
            {mayEdit ? (
              <Button onClick={() => setEnding(person)} aria-label={`End the membership of ${person.name}`}>
                End the membership
              </Button>
            ) : null}
          </li>
        ))}
      </ul>
      {ending ? <EndDialog practiceId={page.id} person={ending} onClose={() => setEnding(null)} /> : null}
    </section>
  );
}

function EndDialog({
  practiceId,
  person,
  onClose,
}: {
  practiceId: string;
  person: PracticePerson;
  onClose: () => void;
}) {
  const [problem, setProblem] = useState<string | null>(null);
  const client = useQueryClient();
  const self = useMe()?.member.id === person.memberId;
  const end = async () => {
    setProblem(null);
    try {
      await call('endMembership', { params: { practiceId, memberId: person.memberId }, body: {} });
      onClose();
      await client.invalidateQueries({ queryKey: self ? ['me'] : ['practice-page', practiceId] });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <Dialog title={`End the membership of ${person.name}`} onClose={onClose}>
      {self ? <p>This is your own membership.</p> : null}
      <ul className="ending">
        {sayEnding(self ? 'you' : person.name).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="main" onClick={() => void end()}>
          End the membership
        </Button>
        <Button onClick={onClose}>Leave it as it is</Button>
      </p>
    </Dialog>
  );
}
