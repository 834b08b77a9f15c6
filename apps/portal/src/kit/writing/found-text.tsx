import type { Writing } from '../../host/use-writing';
import { Button } from '../button';
import { Notice } from '../notice';

/** What an earlier page had not got to the server, offered once more. */
export function FoundText({
  writing,
  nameOf,
}: {
  writing: Pick<Writing<object>, 'found' | 'takeFound' | 'dropFound'>;
  nameOf: (field: string) => string;
}) {
  const { found } = writing;
  if (!found) return null;
  const fields = Object.entries(found);
  return (
    <Notice level="look" live>
      <p>
        Typed before the page was loaded again, and not on the server:{' '}
        {fields.map(([f]) => nameOf(f)).join(', ')}.
      </p>
      {fields.map(([field, value]) =>
        typeof value === 'string' && value !== '' ? (
          <blockquote key={field} className="pre found-text">
            {value}
          </blockquote>
        ) : null,
      )}
      <p className="row">
        <Button onClick={writing.takeFound}>Put it back</Button>
        <Button look="quiet" onClick={writing.dropFound}>
          Throw it away
        </Button>
      </p>
    </Notice>
  );
}
