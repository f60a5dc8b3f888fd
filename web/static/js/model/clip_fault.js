/** What is wrong with an edge of a clip, as a sentence to stand beside its field. No DOM. */

import { fine } from './clock.js';

/** The sentence for the clip at `place`, of which `edge` ('start' or 'end') was changed last; '' for nothing. */
export function edgeFault(clips, place, edge) {
  const { recording_id: recording, start_ms: start, end_ms: end, recording_duration_ms: duration } = clips[place];
  const isStart = edge === 'start';
  if (isStart && start >= duration) return `The recording ends at ${fine(duration)}. Start before that.`;
  if (!isStart && end > duration) return `The recording ends at ${fine(duration)}. End there or before.`;
  if (end <= start) {
    return isStart
      ? `The clip ends at ${fine(end)}. Start before that, or move its end as well.`
      : `The clip starts at ${fine(start)}. End after that, or move its start as well.`;
  }
  const number = clips.findIndex((one, other) => other !== place && one.recording_id === recording && one.start_ms < end && start < one.end_ms);
  return number < 0 ? '' : `Clip ${number + 1} shows ${span(clips[number])} of the same recording. ${wayOut(clips[number], start, end, isStart)}`;
}

const span = (clip) => `${fine(clip.start_ms)} to ${fine(clip.end_ms)}`;

function wayOut(other, start, end, isStart) {
  if (isStart && other.end_ms < end) return `Start at ${fine(other.end_ms)} or later.`;
  if (!isStart && other.start_ms > start) return `End at ${fine(other.start_ms)} or before.`;
  return 'Trim one of them so that nothing is shown twice.';
}
