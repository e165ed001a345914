import { describe, expect, it } from 'vitest';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { type LoggedDrive, readDrive } from '../../src/cycle/read.ts';
import { piecesOf } from './pieces.ts';

const source = { file: 'logs/monday.gpx', name: 'monday' };

function read(text: string): Promise<LoggedDrive> {
  return readDrive(piecesOf([text]), source);
}

async function problems(text: string): Promise<readonly Problem[]> {
  try {
    await read(text);
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  throw new Error('nothing was refused');
}

/** A track point so many seconds after 08:00:00 and so many steps of 0.0001° to the north. */
function point(second: number, step: number, more = ''): string {
  const time = new Date(Date.UTC(2024, 4, 1, 8) + 1000 * second).toISOString();
  return `<trkpt lat="${48 + step / 1e4}" lon="9"><time>${time}</time>${more}</trkpt>\n`;
}

function gpx(...tracks: string[]): string {
  return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="a test" xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:x">
<metadata><time>2020-01-01T00:00:00Z</time></metadata>
<wpt lat="1" lon="2"><ele>5</ele><time>2020-01-01T00:00:00Z</time></wpt>
${tracks.join('')}</gpx>
`;
}

function track(...segments: string[]): string {
  return `<trk><name>a</name>${segments.map((segment) => `<trkseg>\n${segment}</trkseg>`).join('')}</trk>`;
}

/** 0.0001° of the mean radius of the earth: 11.1195 m. */
const STEP = 11.1195;

function rounded(values: Float64Array): number[] {
  return Array.from(values, (value) => Number(value.toFixed(3)));
}

describe('a GPX file', () => {
  it('gives times, altitudes, and speeds from its positions', async () => {
    const { drive, report } = await read(
      gpx(track(point(0, 0, '<ele>100.5</ele>') + point(1, 1) + point(3, 5, '<ele> 101 </ele>'))),
    );
    expect(drive.name).toBe('monday');
    expect([...drive.time]).toEqual([0, 1, 3]);
    expect(rounded(drive.speed)).toEqual(
      [STEP, (5 / 3) * STEP, 2 * STEP].map((speed) => Number(speed.toFixed(3))),
    );
    expect(drive.speedFrom).toBe('positions');
    expect([...drive.altitude!]).toEqual([100.5, Number.NaN, 101]);
    expect([...drive.line]).toEqual([6, 7, 8]);
    expect(report).toEqual({
      form: 'gpx',
      rows: 3,
      headerLine: 1,
      columns: [
        { quantity: 'time', header: 'time', unit: 'date with time and zone', missing: 0 },
        { quantity: 'latitude', header: 'lat', unit: 'degrees', missing: 0 },
        { quantity: 'longitude', header: 'lon', unit: 'degrees', missing: 0 },
        { quantity: 'altitude', header: 'ele', unit: 'metres above the sea', missing: 1 },
      ],
      ignored: [],
      comments: 0,
      blanks: 0,
      start: '2024-05-01T08:00:00.000Z',
      noFix: 0,
      tracks: { tracks: 1, segments: 1, sorted: false },
    });
  });

  it('gives the speed of its points, in extensions too, if every other point has one', async () => {
    const own = '<extensions><x:more><x:speed>12.5</x:speed><x:ele>7</x:ele></x:more></extensions>';
    const half = await read(gpx(track(point(0, 0, own) + point(1, 1))));
    expect(half.drive.speedFrom).toBe('column');
    expect([...half.drive.speed]).toEqual([12.5, Number.NaN]);
    expect(half.drive.altitude).toBeUndefined();
    expect(half.report.columns.map(({ header, missing }) => [header, missing])).toEqual([
      ['time', 0],
      ['speed', 1],
    ]);
    const third = await read(gpx(track(point(0, 0, own) + point(1, 1) + point(2, 2))));
    expect(third.drive.speedFrom).toBe('positions');
    expect(rounded(third.drive.speed)).toEqual([11.12, 11.12, 11.12]);
  });

  it('gives one drive of all tracks and segments, in order of time, without speed across a gap', async () => {
    const [early, late] = [point(0, 0) + point(1, 1), point(10, 2) + point(11, 4)];
    const speeds = [STEP, STEP, 2 * STEP, 2 * STEP].map((speed) => Number(speed.toFixed(3)));
    const ordered = await read(gpx(track(early, '', late)));
    expect([...ordered.drive.time]).toEqual([0, 1, 10, 11]);
    expect(rounded(ordered.drive.speed)).toEqual(speeds);
    expect(ordered.report.tracks).toEqual({ tracks: 1, segments: 2, sorted: false });
    const swapped = await read(gpx(track(late), track(early)));
    expect([...swapped.drive.time]).toEqual([0, 1, 10, 11]);
    expect(rounded(swapped.drive.speed)).toEqual(speeds);
    expect([...swapped.drive.line]).toEqual([9, 10, 6, 7]);
    expect(swapped.report.tracks).toEqual({ tracks: 2, segments: 2, sorted: true });
  });

  it('may have any prefix, other zones, CDATA, a byte order mark and blanks before', async () => {
    const { drive } = await read(`\uFEFF
<g:gpx xmlns:g="x"><g:trk><g:trkseg>
<g:trkpt lon="9" lat=" 4.8e1 "><g:time>2024-05-01T10:00:00.5+02:00</g:time></g:trkpt>
<g:trkpt lon="9" lat="48"><g:time><![CDATA[2024-05-01T08:00:01]]></g:time></g:trkpt>
</g:trkseg></g:trk></g:gpx>`);
    expect([...drive.time]).toEqual([0, 0.5]);
  });

  it('takes 0° north, 0° east for no position', async () => {
    const none = '<trkpt lat="0" lon="0.0"><time>2024-05-01T07:59:59Z</time></trkpt>';
    const { drive, report } = await read(gpx(track(none + point(0, 0) + point(1, 1))));
    expect(rounded(drive.speed)).toEqual([Number.NaN, 11.12, 11.12]);
    expect(report.noFix).toBe(1);
  });
});

describe('a GPX file is refused, with the line,', () => {
  it('if it is another kind of XML', async () => {
    expect(await problems('<?xml version="1.0"?>\n<kml><trk/></kml>')).toEqual([
      expect.objectContaining({
        file: 'logs/monday.gpx',
        line: 2,
        code: 'not-gpx',
        found: '<kml>',
      }),
    ]);
  });

  it.each([
    ['ends early', gpx(track(point(0, 0))).slice(0, -20), 7],
    ['closes what is not open', '<gpx>\n<trk>\n</trkseg></gpx>', 3],
    ['is nothing but a bracket', '<', 1],
    ['nests without end', `<gpx>\n${'<a>'.repeat(100)}`, 2],
    [
      'has no end of attributes',
      `<gpx>\n<a ${Array.from({ length: 2000 }, (_, k) => `a${k}="1" `).join('')}/></gpx>`,
      2,
    ],
    ['has a name without end', `<gpx>\n<${'a'.repeat(200_000)}`, 2],
    ['has an unknown entity', '<gpx>\n&nothing;</gpx>', 2],
  ])('if it %s', async (_name, text, line) => {
    const found = await problems(text);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ code: 'broken-xml', line });
  });

  it('if points have no time, or positions, times, heights or speeds that are none', async () => {
    const found = await problems(
      gpx(
        track(
          [
            '<trkpt lat="48" lon="9"/>',
            '<trkpt lat="x" lon="181"><time>2024-05-01T08:00:00Z</time></trkpt>',
            '<trkpt lat="48"><time>noon</time></trkpt>',
            point(0, 0, '<ele>high</ele><speed>fast</speed>'),
          ].join('\n'),
        ),
      ),
    );
    expect(found.map(({ line, code, path, found }) => [line, code, path, found])).toEqual([
      [6, 'missing-time', 'trkpt', undefined],
      [7, 'not-a-number', 'trkpt lat', 'x'],
      [7, 'out-of-range', 'trkpt lon', '181'],
      [8, 'not-a-number', 'trkpt lon', ''],
      [8, 'not-a-time', 'time', 'noon'],
      [9, 'not-a-number', 'ele', 'high'],
      [9, 'not-a-number', 'speed', 'fast'],
    ]);
    expect(found[0]?.hint).toContain('planned route');
  });

  it('if it has fewer than two track points, waypoints aside', async () => {
    const [problem, ...others] = await problems(gpx(track(point(0, 0))));
    expect(problem).toMatchObject({ code: 'too-few-rows', found: '1 track point' });
    expect(problem?.hint).toContain('waypoints');
    expect(others).toEqual([]);
  });
});
