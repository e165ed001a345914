/**
 * An example of a strategy of your own. Its idea: in a town one drives about as fast as one did
 * before the last stop. So a launch will probably end at that speed, and what the next braking
 * brings back can be told beforehand.
 *
 * - Launch: the store's energy is spread over the whole way up to the last speed, so that the
 *   engine is relieved evenly instead of being left alone halfway.
 * - Cruise: the store keeps room for what braking from the present speed would bring. What is in
 *   the store beyond that is spent at once, because later there would be no room for it.
 * - Braking: engine off, everything into the store. It stays off as long as the store can drive the
 *   car alone, since every start costs fuel too.
 *
 * The contract: the default export is called once for each run with the `parameters` of the
 * strategy file and returns an object with `decide`. In every interval `decide` looks at `see` and
 * writes its wishes into `want`, which comes set to: no store power, engine on, clutched. All values
 * are SI, powers are at the wheels, positive drives the car. No other state may be kept than what is
 * made in here, and neither clock nor random numbers may be used: equal runs must give equal results.
 *
 * @import { Strategy, View, Want } from 'spinledger'
 */

/**
 * @typedef {object} LastSpeed
 * @property {number} mass_kg mass of the car with the store
 * @property {number} recovered_share share of the kinetic energy that a stop brings into the store
 */

/**
 * @param {LastSpeed} parameters
 * @returns {Pick<Strategy, 'decide'>}
 */
export default function lastSpeed(parameters) {
  const mass = positive(parameters, 'mass_kg');
  const recovered = positive(parameters, 'recovered_share');
  /** Highest speed since the last standstill, and of the trip before that [m/s]. */
  let highest = 0;
  let last = 0;

  return {
    decide(see, want) {
      if (see.speed === 0) {
        if (highest > 0) last = highest;
        highest = 0;
        if (see.stopAllowed) rest(want);
        return;
      }
      highest = Math.max(highest, see.speed);

      if (see.wheelPower <= 0) {
        if (see.stopAllowed) rest(want);
        const left = -see.wheelPower - (want.engineOn ? see.engineDrag : 0);
        want.storePower = -Math.min(Math.max(left, 0), see.recoverLimit);
        return;
      }

      const carries = see.assistLimit >= see.wheelPower && see.storeEnergy > 0;
      if (!see.engineOn && see.stopAllowed && carries) {
        want.storePower = see.wheelPower;
        rest(want);
        return;
      }
      want.storePower = Math.min(see.wheelPower * helpingShare(see), see.assistLimit);
    },
  };

  /**
   * Share of the demand that the store takes over.
   * @param {View} see
   */
  function helpingShare(see) {
    if (see.storeEnergy <= 0) return 0;
    const toGo = 0.5 * mass * (last * last - see.speed * see.speed);
    if (see.acceleration > 0.2 && toGo > 0) return Math.min(1, see.storeEnergy / toGo);
    const capacity = see.storeEnergy / see.storeShare;
    const expected = recovered * 0.5 * mass * see.speed * see.speed;
    return see.storeEnergy > capacity - expected ? 1 : 0;
  }
}

/**
 * Engine off, clutch open.
 * @param {Want} want
 */
function rest(want) {
  want.engineOn = false;
  want.clutched = false;
}

/**
 * A plug-in checks its own parameters: nobody else knows them.
 * @param {LastSpeed} parameters
 * @param {keyof LastSpeed} key
 */
function positive(parameters, key) {
  const value = parameters[key];
  if (typeof value === 'number' && value > 0) return value;
  throw new Error(`${key} has to be a number above 0`);
}
