const FOCUSABLE =
  'button:not(:disabled), [tabindex="0"], input:not(:disabled), select, textarea, summary, a[href]';

/**
 * Keeps the focus of a keyboard where it was: when what has it goes, or can't have it any more, what is nearest to it gets
 * it, never the body, from which Tab begins anew. Gives what stops it.
 */
export function keepFocus(root: HTMLElement): () => void {
  /** What last had the focus, and all round it. */
  let trail: readonly HTMLElement[] = [];
  const onFocus = ({ target }: FocusEvent) => {
    if (!(target instanceof HTMLElement)) return;
    const path: HTMLElement[] = [];
    for (let at: HTMLElement | null = target; at && at !== root; at = at.parentElement)
      path.push(at);
    trail = [...path, root];
  };
  const onChange = () => {
    const now = document.activeElement;
    const isLost = now === null || now === document.body || now.matches(':disabled');
    const [last] = trail;
    if (!isLost || last === undefined) return;
    if (last.isConnected && !last.matches(':disabled') && now !== last) return;
    for (const around of trail.filter(({ isConnected }) => isConnected)) {
      const next = [...around.querySelectorAll<HTMLElement>(FOCUSABLE)].find(
        (each) => each.getClientRects().length > 0,
      );
      if (!next) continue;
      next.focus({ preventScroll: true });
      return;
    }
  };
  const observer = new MutationObserver(onChange);
  root.addEventListener('focusin', onFocus);
  observer.observe(root, { childList: true, subtree: true, attributeFilter: ['disabled'] });
  return () => {
    observer.disconnect();
    root.removeEventListener('focusin', onFocus);
  };
}
