/** Into the text that was just made, once it is drawn: the button that made it may be gone. */
export function focusLastText(section: Element | null): void {
  setTimeout(() => {
    const texts = section?.querySelectorAll<HTMLTextAreaElement>('textarea');
    texts?.[texts.length - 1]?.focus();
  }, 0);
}
