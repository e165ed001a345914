import { KMH } from '../config/units.ts';
import { type SprintFigures, type StartGoalName, startPassing } from '../simulate/sprint.ts';
import { LONGEST_SPRINT, type SprintDrive } from '../simulate/sprint-drive.ts';
import { rounded } from './numbers.ts';

const START_WORDS: { readonly [Name in StartGoalName]: string } = {
  kmh50: '50 km/h',
  mph60: '60 mph',
  kmh100: '100 km/h',
  m400: '400 m',
  km1: '1 km',
};

/**
 * Why a figure of a sprint is missing, in plain sentences.
 * @param figures of the car on its own, or with the store at one fill
 */
export function notReached(figures: SprintFigures): readonly string[] {
  const { standingStart: start, overtaking, startGrade, overtakingGrade } = figures;
  const names = Object.keys(START_WORDS) as StartGoalName[];
  const missed = names.filter((name) => startPassing(start, name) === undefined);
  const found: string[] = [];
  if (missed.length > 0) {
    const goals = missed.map((name) => START_WORDS[name]).join(', ');
    found.push(`From rest, ${goals}: ${why(start, 'does not move off')}.`);
  }
  if (overtaking.passings[0] === undefined) {
    found.push(`80–120 km/h: ${why(overtaking, 'has no pull left at 80 km/h')}.`);
  }
  if (startGrade === undefined) found.push('The car moves off on no grade, not even on the flat.');
  if (overtakingGrade === undefined) found.push('The car keeps 80 km/h on no grade.');
  return found;
}

function why({ end, endSpeed, duration }: SprintDrive, stuck: string): string {
  const speed = `${rounded(endSpeed / KMH)} km/h`;
  switch (end) {
    case 'stuck':
      return duration === 0 ? `the car ${stuck}` : 'the car comes to a stand';
    case 'settled':
      return `the car gets no faster than ${speed}`;
    default:
      return `not within ${LONGEST_SPRINT} s, when the car goes ${speed}`;
  }
}
