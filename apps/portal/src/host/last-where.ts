/** The last of a list that fits, or undefined. */
export function lastWhere<T>(list: readonly T[], fits: (item: T) => boolean): T | undefined {
  for (let at = list.length - 1; at >= 0; at -= 1) {
    const item = list[at] as T;
    if (fits(item)) return item;
  }
  return undefined;
}
