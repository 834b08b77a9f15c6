import { useNavigate } from '@tanstack/react-router';
import { practicesOf, useMe } from '../../host/session';

/** Switches between one's practices on a page that shows one of them. */
export function PracticeChoice({
  practiceId,
  to,
}: {
  practiceId: string;
  to: '/p/$practiceId/patients' | '/p/$practiceId/practice';
}) {
  const practices = practicesOf(useMe());
  const go = useNavigate();
  if (practices.length < 2) return null;
  return (
    <div className="segments" role="group" aria-label="Practice">
      {practices.map((p) => (
        <button
          key={p.id}
          type="button"
          aria-pressed={p.id === practiceId}
          onClick={() => void go({ to, params: { practiceId: p.id } })}
        >
          {p.name}
        </button>
      ))}
    </div>
  );
}
