import type { CaseView, MachineSays } from '@chordae/contract';
import type { UploadItem } from '../../host/uploads/upload-state';

export type Offer =
  | { readonly kind: 'weight'; readonly value: number }
  | { readonly kind: 'date'; readonly value: string }
  | { readonly kind: 'heart-rate'; readonly value: number };

const folded = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean)
    .join(' ');

/** Does the name in the file hold the patient's name, or the other way round? Order and marks do not matter. */
export function namesAgree(inFile: string, inReferral: string): boolean {
  const a = folded(inFile).split(' ');
  const b = folded(inReferral).split(' ');
  return b.every((word) => a.includes(word)) || a.every((word) => b.includes(word));
}

/** What files say, arrived or just picked, that the sheet does not have yet, and names that differ. */
export function machineOffers(
  c: CaseView,
  items: readonly UploadItem[],
): { offers: Offer[]; differences: string[] } {
  const files: readonly (readonly [string, MachineSays])[] = [
    ...c.clips.flatMap((clip) =>
      clip.machine ? [[clip.fileName ?? `clip ${clip.number}`, clip.machine] as const] : [],
    ),
    ...items.flatMap((i) =>
      i.header && i.state !== 'done' ? [[i.fileName, i.header.machine] as const] : [],
    ),
  ];
  const offers = new Map<string, Offer>();
  const differences = new Set<string>();
  const scannedOn = c.scans.at(-1)?.scannedOn;
  const hasRate = c.measurements.some((m) => m.code === 'heart-rate' && !m.supersededById && !m.withdrawn);
  for (const [fileName, machine] of files) {
    const { weightKg, scannedOn: day, heartRate, patientName } = machine;
    if (weightKg !== null && weightKg > 0 && Math.abs((c.patient.weight?.weightKg ?? -1) - weightKg) > 0.005)
      offers.set(`w${weightKg}`, { kind: 'weight', value: weightKg });
    if (day && scannedOn && day !== scannedOn) offers.set(`d${day}`, { kind: 'date', value: day });
    if (heartRate !== null && heartRate > 0 && !hasRate)
      offers.set('hr', { kind: 'heart-rate', value: heartRate });
    if (patientName && !namesAgree(patientName, c.patient.name))
      differences.add(
        `${fileName}: the file names ‘${patientName}’, the referral ${c.patient.name}. Is it the right patient?`,
      );
  }
  return { offers: [...offers.values()].slice(0, 4), differences: [...differences].slice(0, 4) };
}
