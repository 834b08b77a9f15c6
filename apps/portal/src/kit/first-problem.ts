/**
 * Puts the focus into the first field that a form complains about, once the page shows the complaints. A general one beside
 * the button moves nothing.
 */
export function focusFirstProblem(form: HTMLElement | null): void {
  requestAnimationFrame(() => {
    const field = form?.querySelector<HTMLElement>(
      '[aria-invalid="true"], fieldset:has(> .problem) :is(input, select, button)',
    );
    field?.focus();
  });
}
