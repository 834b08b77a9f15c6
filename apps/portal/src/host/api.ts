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
    readonly code: ErrorCode | 'NO_NETWORK',
    message: string,
    readonly field: string | null = null,
    readonly details: Record<string, unknown> = {},
  ) {
    super(message);
  }
}

type Listener = () => void;
const signedOut = new Set<Listener>();
/** Tells when any call was answered 'signed out'; the page then asks to sign in again, keeping what was typed. */
export function onSignedOut(listener: Listener): () => void {
  signedOut.add(listener);
  return () => signedOut.delete(listener);
}
export function tellSignedOut(): void {
  for (const listener of signedOut) listener();
}

/** Address of a route with its parameters filled in. */
export function pathOf(name: RouteName, params: Ask['params'] = {}, query: Ask['query'] = {}): string {
  const path = endpoints[name][1].replace(/:(\w+)/g, (_, key: string) =>
    encodeURIComponent(String(params[key] ?? '')),
  );
  const search = new URLSearchParams(query).toString();
  return search === '' ? path : `${path}?${search}`;
}

/** Calls one route of the contract. Throws ApiError; NO_NETWORK when nothing answered. */
export async function call<K extends RouteName>(
  name: K,
  ask: Ask & (BodyOf<K> extends undefined ? { readonly body?: undefined } : { readonly body: BodyOf<K> }),
): Promise<ReplyOf<K>> {
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
    throw new ApiError(
      'NO_NETWORK',
      'No connection to Chordae just now. What you typed is kept and sent when it is back.',
    );
  }
  if (response.ok) return (await response.json()) as ReplyOf<K>;
  const reply = (await response.json().catch(() => null)) as ErrorReply | null;
  const error = new ApiError(
    reply?.code ?? 'INTERNAL',
    reply?.message ?? `The service answered with ${response.status}. Try again in a moment.`,
    reply?.field ?? null,
    reply?.details ?? {},
  );
  if (error.code === 'SIGNED_OUT') tellSignedOut();
  throw error;
}

/** No answer, or a service that is just starting or stumbling: the same request may well succeed a little later. */
export function isPassing(error: unknown): boolean {
  return (
    error instanceof ApiError &&
    ['NO_NETWORK', 'STARTING', 'INTERNAL', 'TOO_MANY_REQUESTS'].includes(error.code)
  );
}

/** The sentence of anything thrown. */
export function sentenceOf(error: unknown): string {
  return error instanceof Error ? error.message : 'Something did not work. Try again.';
}
