/** Says what happened, at the foot of the page and to screen readers. */

const SHOWN_MS = 8000;
const CARRIED = 'benchreel-said';

/** What is said lies over the foot of the page: tell the style sheet how much of it, so that the page can be scrolled clear. */
const notices = document.querySelector('.notices');
new ResizeObserver(() => {
  document.documentElement.style.setProperty('--said-height', `${notices.getBoundingClientRect().height}px`);
}).observe(notices);

function closeButton() {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'button is-small', textContent: 'Close' });
  button.addEventListener('click', () => button.parentElement.remove());
  return button;
}

function show(region, text, { button, isBad } = {}) {
  const notice = document.createElement('p');
  notice.className = isBad ? 'notice is-bad' : 'notice';
  notice.append(text);
  if (button) notice.append(button);
  if (button || isBad) notice.append(closeButton());
  document.getElementById(region).replaceChildren(notice);
  return notice;
}

/** Say something; with `undo` it offers to take the change back. */
export function say(text, { undo } = {}) {
  let button;
  if (undo) {
    button = document.createElement('button');
    button.type = 'button';
    button.className = 'button is-small';
    button.textContent = 'Undo';
    button.addEventListener('click', undo);
  }
  const notice = show('say', text, { button });
  if (!undo) setTimeout(() => notice.remove(), SHOWN_MS);
}

/** Say what went wrong; stays until closed. */
export function warn(error) {
  show('warn', error.message ?? String(error), { isBad: true });
}

/** Say something on the page that is loaded next. */
export const sayNext = (text, canUndo = false) => sessionStorage.setItem(CARRIED, JSON.stringify({ text, canUndo }));

/** What the page before wanted said, or null. */
export function carried() {
  const kept = sessionStorage.getItem(CARRIED);
  sessionStorage.removeItem(CARRIED);
  return kept && JSON.parse(kept);
}
