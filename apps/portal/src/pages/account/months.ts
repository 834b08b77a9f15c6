/** The month before or after. `monthBeside('2026-12', 1)` is '2027-01'. */
export function monthBeside(month: string, step: number): string {
  const [year = 0, number = 1] = month.split('-').map(Number);
  const at = year * 12 + (number - 1) + step;
  return `${String(Math.floor(at / 12)).padStart(4, '0')}-${String((at % 12) + 1).padStart(2, '0')}`;
}

/** Is this how a month is written. */
export function isMonth(text: string): boolean {
  return /^\d{4}-(0[1-9]|1[0-2])$/.test(text);
}

/** A price as people type it, in hundredths: '85', '85.5', '85,50'. Empty is no price; null cannot be read. */
export function readPrice(text: string): number | 'none' | null {
  const typed = text.trim();
  if (typed === '') return 'none';
  const found = /^(\d{1,6})(?:[.,](\d{1,2}))?$/.exec(typed);
  if (!found) return null;
  return Number(found[1]) * 100 + Number((found[2] ?? '').padEnd(2, '0'));
}
