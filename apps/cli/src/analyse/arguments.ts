import { type Species, species, type ViewId, viewId } from '@chordae/contract';
import type { PictureOptions } from './picture';

export interface Asked {
  readonly place: string;
  readonly json: boolean;
  readonly picture: PictureOptions | null;
}

const TAKES_VALUE = new Set(['--view', '--species', '--weight']);
const FLAGS = new Set(['--json', '--picture']);

/** Reads what was asked; a sentence where it makes no sense. Nothing is assumed: view, species and weight stay unknown unless said. */
export function readArguments(args: readonly string[]): Asked | string {
  const values = new Map<string, string>();
  const places: string[] = [];
  for (let n = 0; n < args.length; n += 1) {
    const arg = args[n] ?? '';
    if (TAKES_VALUE.has(arg)) {
      const value = args[n + 1];
      if (value === undefined || value.startsWith('--')) return `${arg} needs a value.`;
      values.set(arg, value);
      n += 1;
    } else if (FLAGS.has(arg)) values.set(arg, '');
    else if (arg.startsWith('--')) return 'name one file or folder, and --json for the published schema.';
    else places.push(arg);
  }
  const [place] = places;
  if (place === undefined || places.length > 1)
    return 'name one file or folder, and --json for the published schema.';
  if (!values.has('--picture')) {
    const alone = [...TAKES_VALUE].find((name) => values.has(name));
    if (alone) return `${alone} is asked with --picture only.`;
    return { place, json: values.has('--json'), picture: null };
  }
  const picture = readPicture(values);
  return typeof picture === 'string' ? picture : { place, json: values.has('--json'), picture };
}

function readPicture(values: ReadonlyMap<string, string>): PictureOptions | string {
  const view = values.get('--view');
  const kind = values.get('--species');
  const weight = values.get('--weight');
  if (view !== undefined && !viewId.safeParse(view).success)
    return `--view: ${view} is no standard view; one of ${viewId.options.join(', ')}.`;
  if (kind !== undefined && !species.safeParse(kind).success)
    return `--species: ${kind} is not known; one of ${species.options.join(', ')}.`;
  const weightKg = weight === undefined ? null : Number(weight.replace(',', '.'));
  if (weightKg !== null && !(weightKg > 0 && weightKg < 1500))
    return `--weight: ${weight ?? ''} is no body weight in kg.`;
  return { view: (view as ViewId) ?? null, species: (kind as Species) ?? null, weightKg };
}
