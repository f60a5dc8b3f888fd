/** The head of the session: shown as text, edited in place. */

export function diaryHead(head) {
  const form = head.querySelector('form');
  const opener = head.querySelector('.diary-head-tools [data-edit-head]');
  const toggle = () => {
    form.hidden = !form.hidden;
    opener.setAttribute('aria-expanded', String(!form.hidden));
    if (form.hidden) opener.focus();
    else form.elements.title.focus();
  };
  head.querySelectorAll('[data-edit-head]').forEach((button) => button.addEventListener('click', toggle));
  form.addEventListener('keydown', (event) => event.key === 'Escape' && toggle());
}
