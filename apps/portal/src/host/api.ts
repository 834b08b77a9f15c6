import type { RouteName } from '@chordae/contract';
import { ApiError, type Ask, type BodyOf, fetchRoute, type ReplyOf } from './route-fetch';

export { ApiError, type Ask, type BodyOf, isPassing, pathOf, type ReplyOf } from './route-fetch';

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

/** Answers a call, from the server or from what this device keeps. */
export type Through = (name: RouteName, ask: Ask & { readonly body?: unknown }) => Promise<unknown>;
let through: Through = async (name, ask) => (await fetchRoute(name, ask)).reply;

/** From now on every call goes through the device's own store. */
export function callThrough(next: Through): void {
  through = next;
}

/** Calls one route of the contract. Throws ApiError; NO_NETWORK when nothing answered and this device keeps no answer. */
export async function call<K extends RouteName>(
  name: K,
  ask: Ask & (BodyOf<K> extends undefined ? { readonly body?: undefined } : { readonly body: BodyOf<K> }),
): Promise<ReplyOf<K>> {
  try {
    return (await through(name, ask)) as ReplyOf<K>;
  } catch (error) {
    if (error instanceof ApiError && error.code === 'SIGNED_OUT') tellSignedOut();
    throw error;
  }
}

/** The sentence of anything thrown. */
export function sentenceOf(error: unknown): string {
  return error instanceof Error ? error.message : 'Something did not work. Try again.';
}
