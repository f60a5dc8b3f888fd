/** The player: one picture for all recordings of the session. Times in whole milliseconds outside of here. */

const SKIP_MS = 5000;

/** `recordings` by id as the page's data gives them; `onTime(recording, ms)` is told while it plays or is moved. */
export function diaryPlayer(box, recordings, current, onTime) {
  const video = box.querySelector('video');
  const note = box.querySelector('[data-player-note]');
  let recording = current;
  const ms = () => Math.floor(video.currentTime * 1000 + 0.5);
  const tell = () => onTime(recording, ms());
  const say = (text) => {
    note.textContent = text;
    note.hidden = !text;
  };

  function tick() {
    tell();
    if (!video.paused) requestAnimationFrame(tick);
  }
  video.addEventListener('play', tick);
  video.addEventListener('seeked', tell);
  video.addEventListener('timeupdate', tell);
  video.addEventListener('loadeddata', () => {
    const lacksPicture = recordings[recording].probe.picture_stream !== null && !video.videoWidth;
    say(lacksPicture ? 'This browser shows no picture of this recording. A copy that it can show is made as part of the work.' : '');
  });
  video.addEventListener('error', () => {
    const waiting = !recordings[recording].is_playable;
    say(waiting ? 'A copy that the browser can play is being made.' : 'The recording cannot be played. Is its file still there?');
  });

  function load(id) {
    recording = id;
    const { media, probe } = recordings[id];
    box.classList.toggle('is-sound-only', probe.picture_stream === null);
    say('');
    const track = video.querySelector('track');
    video.src = media;
    track.src = `/media/recordings/${id}/lines.vtt`;
  }

  return {
    get recording() {
      return recording;
    },
    get ms() {
      return ms();
    },
    /** How much of the top of the page it holds: on a narrow page it stands above the lines. */
    get height() {
      return matchMedia('(width < 48rem)').matches ? box.offsetHeight : 0;
    },
    get isPlaying() {
      return !video.paused;
    },
    /** Go to a moment of a recording. */
    seek(id, to) {
      if (id !== recording) load(id);
      video.currentTime = Math.max(to, 0) / 1000;
      onTime(id, Math.max(to, 0));
    },
    async play() {
      try {
        await video.play();
      } catch (error) {
        if (error.name !== 'AbortError' && error.name !== 'NotAllowedError' && !video.error) say('The recording cannot be played yet.');
      }
    },
    toggle() {
      if (video.paused) this.play();
      else video.pause();
    },
    pause: () => video.pause(),
    skip(direction) {
      this.seek(recording, ms() + direction * SKIP_MS);
    },
    /** Take the file anew, after a playable copy was made. */
    reload(changed) {
      Object.assign(recordings[changed.id], changed);
      if (changed.id !== recording || !video.error) return;
      const at = video.currentTime;
      load(changed.id);
      video.currentTime = at;
    },
  };
}
