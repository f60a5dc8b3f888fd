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

function offerButton(name, act) {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'button is-small', textContent: name });
  button.addEventListener('click', act);
  return button;
}

/** Say something; when a `step` was made, `undo(step)` is offered: it takes back that step and no other. */
export function say(text, { undo, step, name = 'Undo' } = {}) {
  const button = undo && step ? offerButton(name, () => undo(step)) : undefined;
  const notice = show('say', text, { button });
  if (!button) setTimeout(() => notice.remove(), SHOWN_MS);
}

/** Say what went wrong; stays until closed. `offer` is a way out: its `name`, and `act()`. */
export function warn(error, offer) {
  const button = offer && offerButton(offer.name, offer.act);
  show('warn', error.message ?? String(error), { isBad: true, button });
}

/** Say something on the page that is loaded next; there the `step` that was made can be taken back. */
export const sayNext = (text, step) => sessionStorage.setItem(CARRIED, JSON.stringify({ text, step }));

/** What the page before wanted said, or null. */
export function carried() {
  const kept = sessionStorage.getItem(CARRIED);
  sessionStorage.removeItem(CARRIED);
  return kept && JSON.parse(kept);
}
