/** The keys of the diary. Single letters only when they are switched on, and never in a field or on a control. */

const KEPT = 'benchreel-diary-letters';

/** Whether a key press is meant for what has the focus: a field, a button, the player, a dialog. */
const isTaken = (target) => target.closest('input, textarea, select, dialog, [contenteditable], [role="listbox"]');
const isControl = (target) => target.closest('button, video, summary, [role="button"]');

const LETTERS = {
  s: 'next-sound', S: 'previous-sound', f: 'follow', b: 'begin', e: 'end', t: 'tag', r: 'reading', c: 'correction',
  l: 'edit-line', z: 'zones', n: 'next-suggestion', a: 'accept', A: 'accept-all', d: 'dismiss', w: 'next-doubt', y: 'accept-doubt', Y: 'accept-alike', x: 'leave-doubt', '?': 'keys',
};
const OTHERS = { ArrowUp: 'previous-line', ArrowDown: 'next-line', ArrowLeft: 'back', ArrowRight: 'on', Home: 'first', End: 'last', Enter: 'play-here', Escape: 'forget-range' };

/** `actions` by name; `isInRows()` whether the focus is in the rows, where the arrows belong to them. */
export function diaryKeys(actions, dialog, isInRows) {
  const box = dialog.querySelector('[data-keys-on]');
  box.checked = localStorage.getItem(KEPT) !== 'off';
  box.addEventListener('change', () => localStorage.setItem(KEPT, box.checked ? 'on' : 'off'));

  function nameOf(event) {
    const { key, target } = event;
    if (event.ctrlKey || event.metaKey) {
      if (key === 'Enter') return 'save';
      if (key.toLowerCase() !== 'z' || event.altKey) return null;
      return event.shiftKey ? 'redo' : 'undo';
    }
    if (event.altKey) return null;
    if (isInRows() && event.shiftKey && (key === 'ArrowUp' || key === 'ArrowDown')) return key === 'ArrowUp' ? 'more-up' : 'more-down';
    const isFree = !isControl(target);
    if (key === ' ' && isFree) return 'play';
    if (key === 'Escape') return 'forget-range';
    if (isInRows() && isFree && key in OTHERS && !event.shiftKey) return OTHERS[key];
    return box.checked && !(key === ' ') ? (LETTERS[key] ?? null) : null;
  }

  document.addEventListener('keydown', (event) => {
    if (event.defaultPrevented || event.isComposing || isTaken(event.target)) return;
    const name = nameOf(event);
    if (!name || !actions[name]) return;
    event.preventDefault();
    actions[name]();
  });
}
