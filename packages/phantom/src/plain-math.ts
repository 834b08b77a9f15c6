/** Sine, logarithm and power from + − × ÷ alone, so that a phantom is the same on every machine. Error below 1e-9, enough for pictures. */
const pi = Math.PI;

export function sine(x: number): number {
  const turns = x / (2 * pi);
  let a = (turns - Math.floor(turns + 0.5)) * 2 * pi;
  if (a > pi / 2) a = pi - a;
  if (a < -pi / 2) a = -pi - a;
  const q = a * a;
  return (
    a *
    (1 +
      q *
        (-1 / 6 + q * (1 / 120 + q * (-1 / 5040 + q * (1 / 362880 + q * (-1 / 39916800 + q / 6227020800))))))
  );
}

export function cosine(x: number): number {
  return sine(x + pi / 2);
}

/** Natural logarithm of a positive number: halving or doubling to about 1, then the series of artanh. */
export function logarithm(x: number): number {
  let value = x;
  let twos = 0;
  while (value > 1.5) {
    value /= 2;
    twos += 1;
  }
  while (value < 0.75) {
    value *= 2;
    twos -= 1;
  }
  const z = (value - 1) / (value + 1);
  const q = z * z;
  let sum = 0;
  for (let n = 21; n >= 1; n -= 2) sum = sum * q + 1 / n;
  return 2 * z * sum + twos * Math.LN2;
}

/** base to the exponent, base > 0. */
export function power(base: number, exponent: number): number {
  const x = exponent * logarithm(base);
  const twos = Math.floor(x / Math.LN2 + 0.5);
  const rest = x - twos * Math.LN2;
  let sum = 1;
  for (let n = 14; n >= 1; n -= 1) sum = 1 + (sum * rest) / n;
  let out = sum;
  for (let n = 0; n < twos; n += 1) out *= 2;
  for (let n = 0; n > twos; n -= 1) out /= 2;
  return out;
}

export const halfTurn = pi;
