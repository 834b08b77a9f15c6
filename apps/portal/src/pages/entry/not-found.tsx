import { Link } from '@tanstack/react-router';
import { sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';

export function NotFound() {
  return (
    <div className="narrow">
      <h1>Not found</h1>
      <p>This page does not exist, or it is not yours to see.</p>
      <Link to="/">To the start page</Link>
    </div>
  );
}

export function PageFailed({ error }: { error: unknown }) {
  return (
    <div className="narrow" role="alert">
      <h1>This page could not be shown</h1>
      <p>{sentenceOf(error)}</p>
      <p>What was saved is safe.</p>
      <p className="row">
        <Button look="main" onClick={() => globalThis.location.reload()}>
          Load the page again
        </Button>
      </p>
      <Link to="/">To the start page</Link>
    </div>
  );
}
