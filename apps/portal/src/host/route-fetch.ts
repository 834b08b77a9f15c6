import type { ErrorCode, ErrorReply, RouteName, Routes } from '@chordae/contract';
import type { z } from 'zod';
import { endpoints } from './endpoints';

type Field<R, K extends string> = K extends keyof R ? R[K] : undefined;
type In<S> = S extends z.ZodType ? z.input<S> : undefined;
type Out<S> = S extends z.ZodType ? z.output<S> : undefined;

export type ReplyOf<K extends RouteName> = Out<Field<Routes[K], 'reply'>>;
export type BodyOf<K extends RouteName> = In<Field<Routes[K], 'body'>>;

export interface Ask {
  readonly params?: Readonly<Record<string, string | number>>;
  readonly query?: Readonly<Record<string, string>>;
  readonly signal?: AbortSignal;
}

/** A reply that is no success. `message` is the sentence for the reader. */
export class ApiError extends Error {
  override readonly name = 'ApiError';
  constructor(
    readonly code: ErrorCode | 'NO_NETWORK' | 'NO_ROOM',
    message: string,
    readonly field: string | null = null,
    readonly details: Record<string, unknown> = {},
  ) {
    super(message);
  }
}

/** Address of a route with its parameters filled in. */
export function pathOf(name: RouteName, params: Ask['params'] = {}, query: Ask['query'] = {}): string {
  const path = endpoints[name][1].replace(/:(\w+)/g, (_, key: string) =>
    encodeURIComponent(String(params[key] ?? '')),
  );
  const search = new URLSearchParams(query).toString();
  return search === '' ? path : `${path}?${search}`;
}

/** A reply of the server, with the time that the server said it at. */
export interface Answered {
  readonly reply: unknown;
  readonly at: string | null;
}

/** Asks the server for one route of the contract. Throws ApiError; NO_NETWORK when nothing answered. */
export async function fetchRoute(name: RouteName, ask: Ask & { readonly body?: unknown }): Promise<Answered> {
  let response: Response;
  try {
    response = await fetch(pathOf(name, ask.params, ask.query), {
      method: endpoints[name][0],
      credentials: 'same-origin',
      headers: ask.body === undefined ? {} : { 'content-type': 'application/json' },
      body: ask.body === undefined ? null : JSON.stringify(ask.body),
      signal: ask.signal ?? null,
    });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw noNetwork();
  }
  if (response.ok) {
    const said = Date.parse(response.headers?.get?.('date') ?? '');
    return { reply: await bodyOf(response), at: Number.isNaN(said) ? null : new Date(said).toISOString() };
  }
  const reply = (await response.json().catch(() => null)) as ErrorReply | null;
  throw new ApiError(
    reply?.code ?? (response.status === 502 || response.status === 504 ? 'STARTING' : 'INTERNAL'),
    reply?.message ?? `The service answered with ${response.status}. Try again in a moment.`,
    reply?.field ?? null,
    reply?.details ?? {},
  );
}

/** A line that breaks in the middle of a reply is no reply. */
async function bodyOf(response: Response): Promise<unknown> {
  try {
    return await response.json();
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw noNetwork();
  }
}

export function noNetwork(): ApiError {
  return new ApiError(
    'NO_NETWORK',
    'No connection to Chordae just now. What you typed is kept and sent when it is back.',
  );
}

/** What was entered could not be put on the disk of this device. */
export function noRoom(): ApiError {
  return new ApiError(
    'NO_ROOM',
    'This device has no room left, so what you just entered is not kept on it: leave this page open. Make room on the disk, or find a network so that what waits can go.',
  );
}

/** No answer, or a service that is just starting or stumbling: the same request may well succeed a little later. */
export function isPassing(error: unknown): boolean {
  return (
    error instanceof ApiError &&
    ['NO_NETWORK', 'NO_ROOM', 'STARTING', 'INTERNAL', 'TOO_MANY_REQUESTS'].includes(error.code)
  );
}
