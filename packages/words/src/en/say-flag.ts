import type { Flag, SourceRef } from '@chordae/contract';
import { actNowWords } from './flags-act-now';
import { checkWords } from './flags-checks';
import { lookWords } from './flags-look';

/** What a sentence may need from outside: whom to call. */
export interface FlagContext {
  /** Telephone of the reading group; null or absent when none is on file. */
  phone?: string | null;
  /** Nearest emergency contact for when nobody is reading. */
  contact?: string | null;
}

export interface Said {
  sentence: string;
  reasons: string[];
  sources: string[];
}

const STATUS: Record<SourceRef['status'], string> = {
  primary: '',
  secondary: ' (as quoted by others)',
  memory: ' (from memory, to be checked)',
  'common practice': ' (common practice, without a source)',
};

/** A source in words, with how far it was seen. */
export function saySource(source: SourceRef): string {
  return `${source.citation}${source.doi ? `, doi ${source.doi}` : ''}${STATUS[source.status]}`;
}

/** 'Call 555 0100.' or a plain statement that no number is on file. */
export function sayCall(context: FlagContext): string {
  if (context.phone) return `Call ${context.phone}.`;
  if (context.contact)
    return `No telephone of the reading group on file; nearest emergency contact: ${context.contact}.`;
  return 'Call (no telephone on file: ask the reading group for its number).';
}

/** Every flag code that has a sentence. */
export const flagCodesInWords: readonly string[] = [
  ...Object.keys(actNowWords),
  ...Object.keys(checkWords),
  ...Object.keys(lookWords),
];

/**
 * A flag as a sentence, with its reasons and sources. An unknown code is still said, by its code, so that nothing the
 * engine raises can stay silent.
 */
export function sayFlag(flag: Flag, context: FlagContext = {}): Said {
  const words = actNowWords[flag.code] ?? checkWords[flag.code] ?? lookWords[flag.code];
  const said = words
    ? words(flag.data)
    : { sentence: `A finding without a sentence yet: ${flag.code}.`, reasons: [] };
  return {
    sentence: said.sentence.replace('{call}', sayCall(context)).trim(),
    reasons: [...said.reasons, `Rule ${flag.rule.id}, version ${flag.rule.version}.`],
    sources: [...new Set(flag.sources.map(saySource))],
  };
}

/** The trade's short forms that stand in codes, as the trade writes them. */
const SHORT_FORMS: readonly (readonly [RegExp, string])[] = [
  [/^E_A(?=_)/, 'E:A'],
  [/^LA_AO(?=_)/, 'LA:Ao'],
  [/\bSAM(?=_)/, 'anterior motion of the mitral valve'],
  [/LVIDS/, 'LVIDs'],
  [/LVIDD/, 'LVIDd'],
];
const AS_WRITTEN = new Set(
  'B2 LA LV EF FS EPSS TAPSE EDVI ESVI EDV ESV VHS E:A LA:Ao LVIDd LVIDs'.split(' '),
);

/** A flag's code as a short text, where the sentence with its numbers is not at hand: 'LA enlarged'. */
export function sayFlagCode(code: string): string {
  return SHORT_FORMS.reduce((text, [form, written]) => text.replace(form, written), code)
    .split('_')
    .map((word) => (AS_WRITTEN.has(word) ? word : word.toLowerCase()))
    .join(' ');
}

/** For an emergency that no reader takes within its target. */
export function sayNobodyReading(until: string | null, context: FlagContext): string {
  const when = until ? `Nobody is reading until ${until}.` : 'Nobody is reading at the moment.';
  const contact = context.contact
    ? `Nearest emergency contact: ${context.contact}.`
    : context.phone
      ? `Call ${context.phone}.`
      : 'No telephone on file.';
  return `${when} Treat on your own judgement. ${contact}`;
}
