/** Deciding on suggestions: one key or press accepts or dismisses, then the next one is in hand. */

import { send } from '../api.js';
import { percent } from '../model/percent.js';
import { say, warn } from './say.js';

/**
 * `onAccepted(answer)` puts what a suggestion became on the page; `onChange(card)` opens the form with it;
 * `onDone()` follows each decision; `undo` takes it back.
 */
export function diarySuggestions(box, { rows, cards, session, onAccepted, onChange, onDone, undo }) {
  const open = () => cards.of('suggestion').sort((one, two) => one.value.recording_id - two.value.recording_id || one.value.start_ms - two.value.start_ms);
  const rowOf = ({ value }) => rows.ofCard(value.recording_id, value.start_ms, value.end_ms);

  function count() {
    const left = open().length;
    box.hidden = left === 0;
    box.querySelector('[data-suggestions-count]').textContent = left === 1 ? '1 suggestion' : `${left} suggestions`;
  }

  /** The suggestion in the row in hand, or null. */
  const inHand = () => (rows.active ? (cards.holding(rows.active.element.querySelector('.is-suggestion') ?? document.body) ?? null) : null);

  function next(after = rows.active) {
    const left = open();
    const isAfter = (card) => card.value.recording_id > after.recording || (card.value.recording_id === after.recording && card.value.start_ms > after.start);
    const found = (after && left.find(isAfter)) ?? left[0];
    if (found) rows.setActive(rowOf(found), { focus: true });
    else say('There is no suggestion left.');
  }

  async function decide(card, what) {
    const row = rowOf(card);
    try {
      const answer = await send('POST', `/api/suggestions/${card.id}/${what}`, { version: card.value.version });
      done(card.id, answer);
      if (open().length && !row.element.querySelector('.is-suggestion')) next(row);
    } catch (error) {
      warn(error);
    }
  }

  function done(id, answer) {
    cards.remove('suggestion', id);
    if (answer.html) onAccepted(answer);
    count();
    say(answer.message, { undo, step: answer.step });
    onDone();
  }

  document.addEventListener('click', (event) => {
    const button = event.target.closest('[data-accept], [data-dismiss], [data-change]');
    const card = button && cards.holding(button);
    if (!card) return;
    if ('change' in button.dataset) onChange(card);
    else decide(card, 'accept' in button.dataset ? 'accept' : 'dismiss');
  });

  const onHand = (what) => () => {
    const card = inHand();
    if (card) decide(card, what);
    else next();
  };
  count();
  return {
    count,
    done,
    next: () => next(),
    accept: onHand('accept'),
    dismiss: onHand('dismiss'),
    async acceptAll() {
      const field = box.querySelector('[data-least]');
      try {
        const least = percent(field.value);
        field.removeAttribute('aria-invalid');
        if (least === null) {
          field.setAttribute('aria-invalid', 'true');
          field.focus();
          const said = field.value.trim() ? `“${field.value.trim()}” is not a percentage.` : 'No percentage is written.';
          throw new Error(`${said} Write a whole number from 0 to 100; nothing was accepted.`);
        }
        const { message, step } = await send('POST', `/api/sessions/${session}/suggestions/accept`, { at_least_percent: least });
        await onDone(true);
        if (open().length) next();
        say(message, { undo, step });
      } catch (error) {
        warn(error);
      }
    },
  };
}
