import { useSyncExternalStore } from 'react';

/** A signature given on this device that the server has not confirmed. */
export interface PendingSignature {
  readonly signedId: string;
  /** By the device's clock. */
  readonly deviceSignedAt: string;
  /** Why the server refused it, in its own sentence; null while it only waits. */
  readonly refused: string | null;
}

/** Where pending signatures are known: whoever keeps calls without a network gives it once, at the start of the portal. */
export interface PendingSignatures {
  subscribe(listener: () => void): () => void;
  /** The same object until something changed. */
  read(referralId: string): PendingSignature | null;
}

const NOTHING: PendingSignatures = { subscribe: () => () => undefined, read: () => null };
let source = NOTHING;

export function providePendingSignatures(given: PendingSignatures): void {
  source = given;
}

/** The signature of this case that waits for the server; null where none does. */
export function usePendingSignature(referralId: string): PendingSignature | null {
  return useSyncExternalStore(
    (listener) => source.subscribe(listener),
    () => source.read(referralId),
    () => source.read(referralId),
  );
}
