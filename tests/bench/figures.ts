/** One figure as one JSON line: name, value, unit, and where there is one the peer's value and the ratio. */
export function figure(
  name: string,
  value: number,
  unit: string,
  peer?: { name: string; value: number },
): void {
  const round = (x: number) => Number(x.toPrecision(4));
  const line = {
    name,
    value: round(value),
    unit,
    ...(peer ? { peer: `${peer.name}: ${round(peer.value)} ${unit}`, ratio: round(value / peer.value) } : {}),
  };
  process.stdout.write(`${JSON.stringify(line)}\n`);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}
