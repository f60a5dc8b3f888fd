/** The exported film: its chapter list jumps, and shows which chapter plays. */

export function film() {
  const video = document.querySelector('[data-film]');
  const chapters = [...document.querySelectorAll('[data-chapter]')];
  if (!video) return;
  for (const chapter of chapters) {
    chapter.addEventListener('click', () => {
      video.currentTime = Number(chapter.dataset.chapter) / 1000;
      video.play().catch(() => {});
    });
  }
  video.addEventListener('timeupdate', () => {
    const now = chapters.findLast((chapter) => Number(chapter.dataset.chapter) <= video.currentTime * 1000 + 1);
    for (const chapter of chapters) {
      if (chapter === now) chapter.setAttribute('aria-current', 'true');
      else chapter.removeAttribute('aria-current');
    }
  });
}
