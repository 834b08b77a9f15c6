import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** WCAG 2.2 A and AA by axe-core; each problem as one line. */
export async function findAxeProblems(page: Page, where: string): Promise<string[]> {
  await page.evaluate(source);
  const violations = await page.evaluate(async () => {
    const axe = (
      globalThis as unknown as {
        axe: {
          run(
            options: object,
          ): Promise<{ violations: { id: string; help: string; nodes: { target: string[] }[] }[] }>;
        };
      }
    ).axe;
    const result = await axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
    return result.violations.map(
      (v) =>
        `${v.id}: ${v.help} (${v.nodes
          .slice(0, 3)
          .map((n) => n.target.join(' '))
          .join('; ')})`,
    );
  });
  return violations.map((v) => `${where}: ${v}`);
}
