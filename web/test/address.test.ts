import { describe, expect, it } from 'vitest';
import { controlAddress, debriefAddress, placeOf } from '../src/lib/address';

describe('an address', () => {
  it.each([
    ['/', { screen: 'home', showsSettings: false }],
    ['/settings', { screen: 'home', showsSettings: true }],
    ['/control/bay-1', { screen: 'control', room: 'bay-1' }],
    ['/monitor/bay-1/', { screen: 'monitor', room: 'bay-1' }],
    ['/sheet/bay-1', { screen: 'sheet', room: 'bay-1' }],
    ['/debrief/r-31', { screen: 'debrief', run: 'r-31' }],
    ['/control', { screen: 'unknown', path: '/control' }],
    ['/control/%E0', { screen: 'control', room: '%E0' }],
    ['/elsewhere', { screen: 'unknown', path: '/elsewhere' }],
  ])('%s', (path, place) => expect(placeOf(path)).toEqual(place));

  it('comes back from what the screens link to', () => {
    expect(placeOf(controlAddress('bay 1/a'))).toEqual({ screen: 'control', room: 'bay 1/a' });
    expect(placeOf(debriefAddress('r-1'))).toEqual({ screen: 'debrief', run: 'r-1' });
  });
});
