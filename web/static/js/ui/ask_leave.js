/** Asks whether what is not free to share may leave the bench. */

/** Resolves to true when it may; `questions` are sentences. */
export function askLeave(questions) {
  const dialog = document.getElementById('ask-first');
  dialog.querySelector('[data-ask-list]').replaceChildren(...questions.map((text) => Object.assign(document.createElement('li'), { textContent: text })));
  dialog.querySelectorAll('[data-ask]').forEach((button) => { button.onclick = () => dialog.close(button.dataset.ask); });
  dialog.returnValue = '';
  return new Promise((resolve) => {
    dialog.addEventListener('close', () => resolve(dialog.returnValue === 'yes'), { once: true });
    dialog.showModal();
  });
}
