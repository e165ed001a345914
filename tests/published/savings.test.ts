import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { packageRoot } from '../../src/config/package-root.ts';
import { runCase } from '../../src/simulate/case.ts';

/**
 * Savings that were measured or published, as windows for the shipped example set. The examples are
 * invented and were given round numbers; an invented car need not meet a measured one to a digit,
 * so each window says what would be implausible.
 */

const EXAMPLES = `${packageRoot()}/examples`;
const TOWN = `${EXAMPLES}/cycles/town-hills.csv`;

/** Savings against the car as it is [%]. */
async function savings(car: string, store: string, strategy: string, cycle: string) {
  const { subject } = await loadCase({
    car: `${EXAMPLES}/cars/${car}.json`,
    store: `${EXAMPLES}/stores/${store}.json`,
    strategy: `${EXAMPLES}/strategies/${strategy}.json`,
    cycle,
  });
  const { baseline, stopStart, withStore } = runCase(subject);
  return {
    stopStart: 100 * (1 - stopStart.fuel / baseline.fuel),
    withStore: 100 * (1 - withStore.fuel / baseline.fuel),
    /** Braking energy at the wheels over the fuel energy [%] */
    braking: (100 * baseline.run.ledger.braking) / baseline.fuel,
    residual: Math.abs(withStore.balance.residual),
  };
}

function expectBetween(value: number, low: number, high: number): void {
  expect(value).toBeGreaterThan(low);
  expect(value).toBeLessThan(high);
}

describe('stop-start alone, of a petrol compact with a converter', () => {
  // UDDS: "largest improvements begin with 7.27 %" read in the abstract of SAE 2023-01-0346, four
  // cars, taken to be the FTP value; 5 to 7 % of three cars on the EPA city cycle, read in a report
  // of AAA (2014). NYCC: 26.4 % believed to be the first paper's figure (from memory, not verified).
  // HWFET hardly stops: computed here, it stands for 0.5 % of its time.
  it.each([
    ['udds', 3, 8],
    ['nycc', 10, 27],
    ['hwfet', -0.1, 0.5],
  ])('saves on %s what such cars were measured to save', async (cycle, low, high) => {
    const { stopStart } = await savings('compact', 'rim-45', 'stop-start', cycle);
    expectBetween(stopStart, low, high);
  });
});

describe('a store of 60 kW and 540 kJ in a large saloon with a 3-litre diesel', () => {
  // Common practice, no source: such a store aims at 20 % less fuel and has shown 23 % in mixed real
  // driving, against the car without stop-start.
  it('saves 15 to 28 % by engine-off coasting in town', async () => {
    for (const cycle of ['nycc', TOWN]) {
      const { withStore } = await savings('saloon', 'rim-60', 'coast', cycle);
      expectBetween(withStore, 15, 28);
    }
  });

  // Common practice, no source: engine-off coasting alone makes that figure possible; recovery with
  // the engine left clutched saves far less, since overrun drag takes its part first and the idling
  // goes on.
  it('saves far less when the engine stays clutched', async () => {
    for (const cycle of ['nedc', 'nycc', 'jc08', TOWN]) {
      const clutched = (await savings('saloon', 'rim-60', 'recover', cycle)).withStore;
      const off = (await savings('saloon', 'rim-60', 'coast', cycle)).withStore;
      expect(clutched).toBeLessThan(0.5 * off);
    }
  });
});

describe('an engine that runs in turns', () => {
  // Windows for a car with 0.3 to 0.6 MJ, a good strategy, stop-start included: NEDC 10 to 25 %,
  // UDDS 15 to 35 %, WLTC 7 to 18 %, HWFET 0 to 3 %. A judgement of this project from published
  // savings of 15 to 25 % (Vroemen & van Druten, FISITA 2002, F02V262, abstract read), 20 to 30 % as
  // the general range (van Berkel et al., AVEC 10, 2010, abstract read) and 20 to 33 % (Diego-Ayala
  // et al., Proc. IMechE D 222 (2008) 2087, from memory).
  it.each([
    ['nedc', 10, 25],
    ['udds', 15, 35],
    ['wltc-class3b', 7, 18],
    ['hwfet', 0, 3],
  ])('saves on %s what mechanical hybrids were found to save', async (cycle, low, high) => {
    const { withStore, residual } = await savings('saloon', 'rim-60', 'duty-cycle', cycle);
    expectBetween(withStore, low, high);
    expect(residual).toBeLessThan(1e-3);
  });

  // The bus of 1.4 MJ: 28.61 % on bus rapid transit (Ghanbari-Ghajarloo et al., Int. J.
  // Hydromechatronics 3 (2020) 88, abstract read), over 20 % reported of buses in London (Hedlund et
  // al., Energies 8 (2015) 10636, abstract read). The invented midi bus stays below them: it keeps
  // its brakes in the lead and runs no bus lane, so the window here is only that a city drive saves
  // a good part of that, and not more.
  it('saves a good part of what buses were reported to save', async () => {
    const { withStore } = await savings('bus', 'large', 'duty-cycle', TOWN);
    expectBetween(withStore, 10, 28.61);
  });
});

describe('the bound that the road sets', () => {
  // Elementary: beyond what idling costs, a store cannot save more wheel work than is braked away,
  // and wheel work costs at most 1 / (lowest efficiency of the path) of fuel. 1/0.3 is generous.
  it.each(['nedc', 'udds', 'nycc', 'wltc-class3b'])('is kept on %s', async (cycle) => {
    const { withStore, stopStart, braking } = await savings('saloon', 'rim-60', 'coast', cycle);
    expect(withStore - stopStart).toBeLessThan(braking / 0.3);
    expect(withStore).toBeGreaterThan(0);
  });
});
