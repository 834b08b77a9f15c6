import { Link } from '@tanstack/react-router';
import { ApiError, isPassing, sentenceOf } from '../host/api';
import { Button } from './button';

const codeOf = (error: unknown) => (error instanceof ApiError ? error.code : null);

/** What could not be had, and another try where one may help. */
export function Failed({ error, again }: { error: unknown; again: () => unknown }) {
  const says =
    codeOf(error) === 'NO_NETWORK'
      ? 'There is no connection just now, and this device has kept no answer to show.'
      : sentenceOf(error);
  return (
    <div className="notice notice-look" role="alert">
      <p>{says}</p>
      {isPassing(error) ? (
        <p className="row">
          <Button onClick={() => void again()}>Try again</Button>
        </p>
      ) : null}
    </div>
  );
}

/** A whole page that cannot be shown: what it would be, why not, and where to go on. */
export function PageOff({ title, error, again }: { title: string; error: unknown; again: () => unknown }) {
  return (
    <div className="page">
      <h1>{title}</h1>
      <Failed error={error} again={again} />
      {codeOf(error) === 'NOT_FOUND' ? (
        <p>It may belong to a practice that you have left, or the address may be wrong.</p>
      ) : null}
      <p>
        <Link to="/">To the start page</Link>
      </p>
    </div>
  );
}

/** In place of a list, for somebody who belongs to no practice. */
export function NoPractice() {
  return (
    <p className="empty">
      You belong to no practice just now. A manager of the practice has to add you before anything can be
      shown or entered here.
    </p>
  );
}
