/** Choosing hits for a lesson. */

const form = document.querySelector('[data-hits]');

if (form) {
  const button = form.querySelector('[data-hits-chosen]');
  const moments = form.querySelector('[data-hits-moments]');
  const show = () => {
    const chosen = [...form.querySelectorAll('.choose:checked')].map((box) => box.value);
    moments.value = chosen.join(',');
    if (button) {
      button.hidden = chosen.length === 0;
      button.textContent = 'into' in form.dataset ? `Add ${chosen.length} chosen to the lesson` : `Make a lesson of ${chosen.length} chosen`;
    }
  };
  form.addEventListener('change', show);
  show();
}
