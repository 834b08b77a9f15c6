import type { EngineNews } from '@chordae/contract';
import { sayDifference, sayEngineNews } from '@chordae/words';

/** The rules changed while this referral was open: what they say differently about the same numbers. */
export function EngineNewsNotice({ news }: { news: EngineNews | null }) {
  if (!news) return null;
  return (
    <details className="notice engine-news">
      <summary>{sayEngineNews(news)}</summary>
      <ul className="small-list">
        {news.differences.map((difference) => (
          <li key={JSON.stringify(difference)}>{sayDifference(difference, 'before')}</li>
        ))}
      </ul>
      <p className="hint">In brackets what was said before.</p>
    </details>
  );
}
