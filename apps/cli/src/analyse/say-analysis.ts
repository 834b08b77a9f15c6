import type { Analysis } from '@chordae/contract';
import { formatNumber, SYNTHETIC_CAUTION, sayPlaneVerdict, sayQualityMark, viewNames } from '@chordae/words';

/** One line: the file, and what it is or why not. */
export function analysisLine(a: Analysis): string {
  return `${a.file}: ${a.refused === null ? inShort(a) : a.refused.sentence}`;
}

function inShort(a: Analysis): string {
  if (a.what === 'report') return `a machine's report of ${a.report?.measurements.length ?? 0} values`;
  if (a.what === 'archive') return a.problems[0]?.sentence ?? 'an archive';
  const d = a.description;
  if (d === null) return 'nothing to show';
  const frames = d.frameCount === 1 ? 'still' : `${d.frameCount} frames`;
  const usable = a.regions.filter((region) => region.usable).length;
  const calibrated =
    usable === 0 ? 'not calibrated' : `${usable} calibrated ${usable === 1 ? 'part' : 'parts'}`;
  return `${d.format}${d.transferSyntax === null ? '' : ` (${d.transferSyntax})`}, ${frames}, ${d.widthPx} x ${d.heightPx}, ${calibrated}`;
}

/** Several lines for a single file, for people. */
export function analysisText(a: Analysis): string {
  const lines = [analysisLine(a)];
  for (const region of a.regions) {
    const span = [region.spanX, region.spanY]
      .flatMap((one) => (one === null ? [] : [`${one.value} ${one.unit}`]))
      .join(' by ');
    lines.push(
      `  part ${region.region}: ${region.kind}, ${span || 'no scale'}${region.whyNot === null ? '' : `; ${region.whyNot}`}`,
    );
  }
  for (const m of a.report?.measurements ?? [])
    lines.push(
      `  ${m.code ?? '-'}\t${m.name} ${m.written} ${m.unitWritten}${m.says.length > 0 ? ` (${m.says.join(', ')})` : ''}`,
    );
  for (const member of a.members) lines.push(`  holds ${member}`);
  if (a.mask !== null) lines.push(`  what leaves: ${a.mask.sentence}`);
  if (a.picture) lines.push(...pictureLines(a.picture));
  for (const problem of a.what === 'archive' ? [] : a.problems) lines.push(`  note: ${problem.sentence}`);
  return lines.join('\n');
}

/** Hints from the pictures, as they are said to a reader. */
function pictureLines({ assessment, suggestedView }: NonNullable<Analysis['picture']>): string[] {
  const { cycle, shortAxis, ruler, quality } = assessment;
  const lines: string[] = [];
  if (cycle.beatsPerMinute !== null)
    lines.push(
      `about ${formatNumber(cycle.beatsPerMinute, 0)} beats a minute (confidence ${formatNumber(cycle.confidence, 2)})`,
    );
  if (suggestedView !== null) lines.push(`looks like ${viewNames[suggestedView]}; a person says what it is`);
  if (ruler.found && ruler.unitCandidates[0])
    lines.push(
      `a ruler of ${ruler.ticks} marks; ${formatNumber(ruler.unitCandidates[0].pxPerCm, 1)} pixels a cm if its unit is right, to be confirmed`,
    );
  if (shortAxis)
    lines.push(`${sayPlaneVerdict(shortAxis.verdict)} (confidence ${formatNumber(shortAxis.confidence, 2)})`);
  for (const mark of quality) lines.push(sayQualityMark(mark.code).says);
  return [...lines, SYNTHETIC_CAUTION].map((line) => `  pictures: ${line}`);
}
