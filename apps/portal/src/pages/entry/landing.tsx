import { Link } from '@tanstack/react-router';
import { homeOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';

const STEPS = [
  [
    'Send',
    'Clips from the machine as they are, the question in a sentence, numbers typed once. What is missing is said while the patient is still on the table.',
  ],
  [
    'Read',
    'A cardiologist sees the clips move at true speed, measures on the frame, and can answer in two lines before the opinion is written.',
  ],
  [
    'File',
    'A signed opinion that never changes again: what to do first, what was seen, and by which source each number was judged.',
  ],
] as const;

/** What this is, what it is not, and the way in. */
export function Landing() {
  useTitle('Second opinions on hearts');
  const me = useMe();
  return (
    <div className="landing">
      <h1>A second pair of eyes on an animal’s heart, while it still helps.</h1>
      <p className="lead">
        Chordae takes a heart scan from the practice to a cardiologist and brings back a signed opinion. It
        lays each number on its published limit for the species, the breed and the body weight, and says what
        has not been looked at.
      </p>
      <p className="row">
        {me ? (
          <Link to={homeOf(me)} className="button button-main">
            Go on as {me.member.name}
          </Link>
        ) : (
          <Link to="/sign-in" className="button button-main">
            Sign in
          </Link>
        )}
        <Link to="/how">How it is computed</Link>
      </p>
      <ol className="landing-steps">
        {STEPS.map(([name, text]) => (
          <li key={name}>
            <h2>{name}</h2>
            <p>{text}</p>
          </li>
        ))}
      </ol>
      <section className="landing-cautions" aria-labelledby="cautions">
        <h2 id="cautions">Before you rely on it</h2>
        <ul>
          <li>Decision support for licensed veterinary professionals; not a diagnosis.</li>
          <li>Stabilise a patient in distress first, and do not wait for an opinion.</li>
          <li>
            Limits differ with breed, method and source: each is shown with its source. Silence is never an
            all-clear.
          </li>
          <li>Dosage and treatment are for the attending veterinarian under local law.</li>
        </ul>
      </section>
    </div>
  );
}
