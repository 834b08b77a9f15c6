import type { CaseView, MachineMeasurement, MeasurementEntry } from '@chordae/contract';
import { formatWithUnit, measurementNames } from '@chordae/words';

export interface ReportOffer {
  readonly key: string;
  /** In our words: 'LVIDd 48 mm, beat 1'. */
  readonly says: string;
  /** In the machine's: '4.8 cm, Left ventricle, M mode'. */
  readonly machineSays: string;
  readonly entry: MeasurementEntry;
  /** The sheet has a value there already; it is not overwritten. */
  readonly taken: boolean;
}

export interface ReportOffers {
  readonly arrivalId: string;
  readonly fileName: string;
  readonly offers: readonly ReportOffer[];
  /** Numbers that no measurement of ours is known to be, for reading. */
  readonly others: readonly string[];
}

/** What reports of machines offer to the sheet. A report with a problem, such as another patient's name, offers nothing. */
export function reportOffers(c: CaseView): ReportOffers[] {
  return c.arrivals.flatMap((arrival) => {
    if (arrival.report === null || arrival.problem !== null) return [];
    const { measurements } = arrival.report;
    return [
      {
        arrivalId: arrival.id,
        fileName: arrival.fileName,
        offers: measurements.flatMap((m, n) => offerOf(c, m, `${arrival.id}-${n}`)),
        others: measurements.filter((m) => m.code === null).map(sayAsWritten),
      },
    ];
  });
}

function offerOf(c: CaseView, m: MachineMeasurement, key: string): ReportOffer[] {
  if (m.code === null || m.value === null || m.unit === null || (m.beat ?? 1) > 20) return [];
  const code = m.code;
  const clip =
    m.imageUid === null ? undefined : c.clips.find((one) => one.machine?.instanceUid === m.imageUid);
  const beat = m.beat === null ? '' : `, beat ${m.beat}`;
  return [
    {
      key,
      says: `${measurementNames[code].short} ${formatWithUnit(m.value, m.unit)}${beat}${m.averaged ? ', average' : ''}`,
      machineSays: sayAsWritten(m),
      taken: c.measurements.some(
        (saved) =>
          saved.side === 'sender' &&
          saved.code === code &&
          (saved.beat ?? 1) === (m.beat ?? 1) &&
          !saved.supersededById &&
          !saved.withdrawn,
      ),
      entry: {
        code,
        value: m.value,
        unit: m.unit,
        asTyped: `${m.written} ${m.unitWritten}`.slice(0, 60),
        view: m.view,
        method: m.method,
        beat: m.beat,
        clipId: clip?.id ?? null,
        frame: clip === undefined ? null : (m.frame ?? 1) - 1,
        source: 'machine',
        geometry: null,
        supersedesId: null,
        withdrawn: false,
      },
    },
  ];
}

function sayAsWritten(m: MachineMeasurement): string {
  const beside = m.says.length === 0 ? '' : ` (${m.says.join(', ')})`;
  return `${m.name} ${m.written} ${m.unitWritten}${beside}`.trim();
}
