/**
 * Which tab works on a file: two must not send the same one. A tab that is closed or killed lets go by itself. Without
 * locks each tab takes what it finds.
 */
const held = new Map<string, () => void>();

/** Takes a file for this tab; false when another tab has it. */
export async function hold(arrivalId: string): Promise<boolean> {
  const locks = (navigator as { locks?: LockManager }).locks;
  if (!locks || held.has(arrivalId)) return true;
  return new Promise((resolve) => {
    void locks
      .request(`chordae-upload-${arrivalId}`, { ifAvailable: true }, (lock) => {
        resolve(lock !== null);
        if (lock === null) return undefined;
        return new Promise<void>((release) => held.set(arrivalId, release));
      })
      .catch(() => resolve(true));
  });
}

export function letGo(arrivalId: string): void {
  held.get(arrivalId)?.();
  held.delete(arrivalId);
}
