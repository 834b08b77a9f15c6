import type { Analysis } from '@chordae/contract';

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
  for (const problem of a.what === 'archive' ? [] : a.problems) lines.push(`  note: ${problem.sentence}`);
  return lines.join('\n');
}
