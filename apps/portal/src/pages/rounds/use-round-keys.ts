import type { RefObject } from 'react';
import { useEffect } from 'react';

const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName);

/**
 * n adds a patient, p pastes a list, s scans the next one, c closes the day, arrows or j and k go from visit to visit.
 * Nothing while somebody types or a dialog is open.
 */
export function useRoundKeys(
  list: RefObject<HTMLElement | null>,
  actions: { readonly add: () => void; readonly paste: () => void; readonly close: () => void },
  on: boolean,
): void {
  useEffect(() => {
    if (!on) return undefined;
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
      if (document.querySelector('dialog[open]')) return;
      const step =
        event.key === 'ArrowDown' || event.key === 'j'
          ? 1
          : event.key === 'ArrowUp' || event.key === 'k'
            ? -1
            : 0;
      if (event.key === 'n') actions.add();
      else if (event.key === 'p') actions.paste();
      else if (event.key === 'c') actions.close();
      else if (event.key === 's') {
        const next = list.current?.querySelector<HTMLElement>('[data-scan]');
        if (!next) return;
        // The focus comes back to it when its dialog is closed.
        next.focus();
        next.click();
      } else if (step !== 0) {
        const stops = [...(list.current?.querySelectorAll<HTMLElement>('[data-visit-main]') ?? [])];
        const at = stops.indexOf(document.activeElement as HTMLElement);
        const next = stops[at === -1 ? (step > 0 ? 0 : stops.length - 1) : at + step];
        if (!next) return;
        next.focus();
      } else return;
      event.preventDefault();
    };
    globalThis.addEventListener('keydown', press);
    return () => globalThis.removeEventListener('keydown', press);
  }, [list, actions, on]);
}
