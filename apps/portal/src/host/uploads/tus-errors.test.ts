import { describe, expect, it } from 'vitest';
import { ApiError } from '../route-fetch';
import { whyFailed } from './tus-errors';

const answered = (status: number, body = '') => ({
  originalResponse: { getStatus: () => status, getBody: () => body },
});
const sentence = JSON.stringify({ code: 'STATE_CHANGED', message: 'It was withdrawn.' });

describe('an upload that failed', () => {
  it('waits for a line where nothing answered, the service stumbles, or the server still holds the cut connection', () => {
    for (const error of [
      new Error('x'),
      answered(423),
      answered(409, 'conflict'),
      answered(429),
      answered(503),
    ])
      expect(whyFailed(error)).toBe('cut');
    expect(whyFailed(new ApiError('NO_NETWORK', 'No connection.'))).toBe('cut');
  });

  it('waits for signing in, or says what the server said', () => {
    expect(whyFailed(answered(401))).toBe('signed-out');
    expect(whyFailed(new ApiError('SIGNED_OUT', 'x'))).toBe('signed-out');
    expect(whyFailed(answered(409, sentence))).toBe('It was withdrawn.');
    expect(whyFailed(answered(404))).toContain('The line was cut.');
  });
});
