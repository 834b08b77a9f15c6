import { describe, expect, it } from 'vitest';
import { CasesShown } from './cases-shown';

describe('cases that are shown', () => {
  it('let go what waits for them, and nothing of another case', async () => {
    const shown = new CasesShown();
    const gone: string[] = [];
    const wait = (of: string, name: string) => shown.until(of).then(() => gone.push(name));
    void wait('a', 'first');
    void wait('b', 'other');
    const second = wait('a', 'second');
    await Promise.resolve();
    expect(gone).toEqual([]);
    shown.show('a');
    await second;
    expect(gone).toEqual(['first', 'second']);
    await wait('a', 'later');
    expect(gone).toEqual(['first', 'second', 'later']);
  });
});
