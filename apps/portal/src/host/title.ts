import { useEffect } from 'react';

/** Names the page in the browser's tab and for those who hear it. */
export function useTitle(title: string): void {
  useEffect(() => {
    document.title = `${title} · Chordae`;
  }, [title]);
}
