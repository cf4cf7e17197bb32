import { fireEvent, render, screen, within } from '@testing-library/svelte';
import userEvent from '@testing-library/user-event';
import { tick } from 'svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import Board from '../src/board/Board.svelte';
import BoardHead from '../src/board/BoardHead.svelte';
import { importMap, save, takeFile } from '../src/commands';
import { LARGEST_LIST, LARGEST_SENT, useDoor } from '../src/host';
import type { Door } from '../src/host/door';
import { press } from '../src/keys';
import Find from '../src/map/Find.svelte';
import Notes from '../src/Notes.svelte';
import Broken from '../src/panels/Broken.svelte';
import Busy from '../src/panels/Busy.svelte';
import Empty from '../src/panels/Empty.svelte';
import { clockwork } from '../src/state/clockwork.svelte';
import Worked from '../src/panels/Worked.svelte';
import { depth } from '../src/state/depth.svelte';
import { desk } from '../src/state/desk.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Request } from '../src/types/gangday';
import { closureDetail, dayDetail, detail, sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
let asked: Request[] = [];

const door: Door = {
  kind: 'loopback',
  writes: true,
  ask: async (request) => {
    asked.push(request);
    if (request.ask === 'plan' || request.ask === 'progress') {
      const running = request.ask === 'plan';
      return { is: 'progress', progress: { running, reading: false, title: '', fraction: 1, words: '', trace: [], planned: 1, of: 1 } };
    }
    if (request.ask === 'job') return { is: 'job', detail: detail(request.id) };
    if (request.ask === 'closure') return { is: 'closure', detail: closureDetail(week, request.job) };
    if (request.ask === 'gang_days') return { is: 'gang_days', details: request.keys.map((key) => dayDetail(week, key)) };
    return { is: 'sheet', sheet: { ...week, edition: asked.length } };
  },
  saveClientPage: async () => 'client.html',
};

beforeEach(() => {
  asked = [];
  useDoor(door);
  programme.sheet = week;
  programme.refusal = null;
  selection.show(null);
  selection.clear();
  desk.over = null;
});

describe('board', () => {
  it('names every layer for who can’t see it', () => {
    render(Board, { sheet: week });
    const column = week.plan!.columns[0]!;
    const layer = column.layers.find((one) => one.kind === 'work')!;
    expect(screen.getAllByLabelText(new RegExp(`${layer.words}, \\d\\d:\\d\\d–\\d\\d:\\d\\d$`))).toHaveLength(1);
    const cures = column.waits.find((one) => one.kind === 'base_cure')!;
    expect(screen.getAllByLabelText(new RegExp(cures.words)).length).toBeGreaterThan(0);
  });

  it('has one stop for the Tab key and walks by arrows', async () => {
    const { container } = render(Board, { sheet: week });
    const stops = container.querySelectorAll<HTMLElement>('[data-piece][tabindex="0"]');
    expect(stops).toHaveLength(1);
    stops[0]!.focus();
    await userEvent.keyboard('{ArrowDown}{ArrowDown}');
    expect(document.activeElement).toHaveAttribute('data-piece', '2');
    await userEvent.keyboard('{ArrowRight}');
    expect(document.activeElement).toHaveAttribute('data-column', '1');
  });

  it('selects the job of a layer, and the route of a heading', async () => {
    const { container } = render(Board, { sheet: week });
    const layer = container.querySelector<HTMLElement>('.work[data-job]')!;
    await userEvent.click(layer);
    expect(selection.job).toBe(layer.dataset['job']);
    expect(layer).toHaveAttribute('aria-pressed', 'true');
    await userEvent.click(screen.getAllByLabelText(/Birch gang, Mon 1 Mar/)[0]!);
    expect(selection.route).toBe('gang-2@2027-03-01');
  });

  it('shows where each gang goes first and what it loads, on one day', async () => {
    selection.show('2027-03-01');
    render(Board, { sheet: week });
    const head = screen.getByTitle(/Ash gang, Mon 1 Mar, first/);
    expect(head).toHaveTextContent(/\d\d:\d\d/);
    await vi.waitFor(() => expect(head).toHaveTextContent(/Load .*type 1.*bags base concrete/));
  });
});

describe('days of the board', () => {
  it('have keys as far as there are keys for them', () => {
    const days = Array.from({ length: 10 }, (_, i) => ({ date: `2027-03-${String(i + 1).padStart(2, '0')}`, name: `Day ${i + 1}`, working: true, past: false }));
    programme.sheet = { ...week, days };
    render(BoardHead, { wide: false });
    const tabs = within(screen.getByRole('group', { name: 'Which days' })).getAllByRole('button');
    expect(tabs).toHaveLength(11);
    expect(tabs.map((tab) => tab.querySelector('kbd')?.textContent ?? '')).toEqual(['w', '1', '2', '3', '4', '5', '6', '7', '', '', '']);
  });
});

describe('find box', () => {
  it('says that there is nothing of that name', async () => {
    render(Find, { sheet: week });
    await userEvent.type(screen.getByRole('combobox'), 'zzz');
    expect(screen.getByRole('status')).toHaveTextContent('No job or street of that name');
    await userEvent.clear(screen.getByRole('combobox'));
    expect(screen.getByRole('status').textContent).toBe('');
  });
});

describe('a new programme', () => {
  it('asks for a list, then for gangs', async () => {
    const { rerender } = render(Board, { sheet: { ...week, jobs: [], gangs: [], plan: null } });
    expect(screen.getByText(/Take in a list/)).toBeInTheDocument();
    await rerender({ sheet: { ...week, gangs: [], plan: null } });
    expect(screen.getByText(/no gang yet/)).toBeInTheDocument();
    expect(screen.queryByRole('button', { name: 'Plan the week' })).toBeNull();
  });
});

describe('notes', () => {
  it('show what the selected route loads, measured and ordered apart', async () => {
    render(Notes, { sheet: week });
    const column = week.plan!.columns[0]!;
    selection.pick({ what: 'route', key: column.key });
    await tick();
    const order = dayDetail(week, column.key).order.materials[0]!;
    const load = within(screen.getByRole('region', { name: 'Load' }));
    expect(await load.findByText(order.measured, { exact: false })).toBeInTheDocument();
    expect(load.getByText(order.ordered, { exact: false, ignore: '.sr' })).toBeInTheDocument();
    expect(load.getAllByText(/why/).length).toBe(6);
  });

  it('show a job with its figures and why', async () => {
    render(Notes, { sheet: week });
    selection.pickJob('J-001');
    await tick();
    const job = within(screen.getByRole('region', { name: 'Job J-001' }));
    expect(await job.findByText('2.74')).toBeInTheDocument();
    expect(job.getByText(/1\.70 × 1\.40 × 1\.15/)).toBeInTheDocument();
    expect(await job.findByRole('img', { name: /^Cross-section of J-001/ })).toBeInTheDocument();
  });

  it('lead from a job that is not planned to its place', async () => {
    render(Notes, { sheet: week });
    const free = week.plan!.unplanned[0]!.job;
    await userEvent.click(screen.getByRole('button', { name: new RegExp(`${free}.*Not planned`) }));
    expect(selection.job).toBe(free);
  });

  it('always show the first caution', () => {
    desk.fold('mind', true);
    render(Notes, { sheet: week });
    expect(screen.getByText(/no record of buried apparatus/)).toBeVisible();
  });

  it('say that it is invented, and not saved', () => {
    render(Notes, { sheet: week });
    expect(screen.getByText('Invented for the demo.')).toBeInTheDocument();
    expect(screen.getByText('Demo, not saved')).toBeInTheDocument();
  });

  it('say that a programme with a folder is saved, and that one without is not, changed or not', async () => {
    const { rerender } = render(Notes, { sheet: { ...week, folder: '/works/week-9', unsaved: false } });
    expect(screen.getByText('Saved')).toBeInTheDocument();
    await rerender({ sheet: { ...week, folder: '/works/week-9', unsaved: true } });
    expect(screen.getByText('Not saved')).toBeInTheDocument();
    await rerender({ sheet: { ...week, folder: null, unsaved: false } });
    expect(screen.queryByText('Saved')).toBeNull();
  });
});

describe('states', () => {
  it('empty says what to do next', async () => {
    programme.sheet = null;
    render(Empty);
    await userEvent.click(screen.getByRole('button', { name: 'Open the demo week' }));
    await vi.waitFor(() => expect(asked).toEqual([{ ask: 'open_demo', week: 'full' }]));
  });

  it('broken lists every fault with place and remedy, and can’t be made to run markup', () => {
    const findings = [{ ...week.findings[0]!, text: '<img src=x onerror=alert(1)>' }, week.findings[1]!];
    const { container } = render(Broken, { refusal: { text: 'The list can’t be read.', findings } });
    expect(screen.getByRole('alert')).toHaveTextContent('2 things to put right');
    expect(container.querySelector('img')).toBeNull();
    expect(screen.getByText(/jobs.geojson, J-004, sections/)).toBeInTheDocument();
  });

  it('planning is asked for, followed and drawn', async () => {
    await programme.makeWeek();
    expect(asked.map((one) => one.ask)).toEqual(['plan', 'progress', 'progress', 'sheet']);
    expect(programme.progress).toBeNull();
    expect(programme.sheet?.edition).toBe(4);
  });

  it('planning that a page before began is followed to its end', async () => {
    let looks = 0;
    useDoor({
      ...door,
      ask: async (request) => {
        const answer = await door.ask(request);
        return answer.is === 'progress' ? { ...answer, progress: { ...answer.progress, running: looks++ < 2 } } : answer;
      },
    });
    const started = programme.start();
    await vi.waitFor(() => expect(programme.planning).toBe(true));
    await started;
    expect(asked.map((one) => one.ask)).toEqual(['progress', 'sheet', 'progress', 'progress', 'progress', 'sheet']);
    expect(programme.progress).toBeNull();
  });

  it('a map extract that a page before had begun to read is said to be read, and no week to be made', async () => {
    let looks = 0;
    useDoor({
      ...door,
      ask: async (request) => {
        const answer = await door.ask(request);
        return answer.is === 'progress' ? { ...answer, progress: { ...answer.progress, running: looks++ < 2, reading: true, title: 'Adding streets' } } : answer;
      },
    });
    const started = programme.start();
    await vi.waitFor(() => expect(programme.planning).toBe(true));
    const progress = programme.progress;
    if (progress === null) throw new Error('no progress');
    const { container, unmount } = render(Busy, { progress });
    expect(container.querySelector('section')).toHaveAccessibleName('Adding streets');
    expect(container).toHaveTextContent('Adding streets');
    expect(container).not.toHaveTextContent('Making the week');
    expect(container).toHaveTextContent('Stop, change nothing');
    unmount();
    await started;
    expect(programme.said).toBe('Adding streets is over.');
    expect([programme.reading, programme.progress]).toEqual([false, null]);
  });

  it('saving says the whole path that was answered', async () => {
    useDoor({ ...door, ask: async () => ({ is: 'saved', folder: '/weeks/works/week-9', sheet: week }) });
    await save();
    expect(desk.over).toBe('save');
    programme.sheet = { ...week, folder: 'week-9' };
    await save();
    expect(programme.said).toBe('Saved in /weeks/works/week-9');
  });

  it('a map extract that the host can choose is read where it lies, and followed to its end', async () => {
    const street = week.streets[0]!;
    const more = { ...week, streets: [...week.streets, { ...street, id: 'osm-w1' }, { ...street, id: 'osm-w2' }] };
    let looks = 0;
    let seen = false;
    const reading = { ...(await door.ask({ ask: 'progress' })), is: 'progress' as const };
    useDoor({
      ...door,
      chooseExtract: async () => '/maps/area.osm.pbf',
      ask: async (request) => {
        asked.push(request);
        seen ||= programme.reading && programme.planning;
        if (request.ask === 'sheet') return { is: 'sheet', sheet: more };
        if (reading.is !== 'progress' || !('progress' in reading)) throw new Error('no progress');
        return { ...reading, progress: { ...reading.progress, running: looks++ < 2, reading: true } };
      },
    });
    asked = [];
    await importMap();
    expect(asked[0]).toEqual({ ask: 'read_extract', path: '/maps/area.osm.pbf' });
    expect(asked.map((one) => one.ask)).toEqual(['read_extract', 'progress', 'progress', 'sheet']);
    expect(programme.said).toBe('2 streets added from area.osm.pbf');
    expect([seen, programme.reading]).toEqual([true, false]);
  });

  it('a map extract too large to be sent is refused before it is read', async () => {
    const file = new File([], 'land.osm.pbf');
    Object.defineProperty(file, 'size', { value: LARGEST_SENT + 1 });
    await takeFile(file);
    expect(asked).toEqual([]);
    expect(programme.refusal?.text).toContain("can't be sent");
  });

  it('a list too large to be sent is refused before it is read, with what to do', async () => {
    const file = new File([], 'works.csv');
    Object.defineProperty(file, 'size', { value: LARGEST_LIST + 1 });
    await takeFile(file);
    expect(asked).toEqual([]);
    expect(programme.refusal?.text).toContain("works.csv has 191 MB; a list of more than 190 MB can't be sent");
    expect(programme.refusal?.text).toContain('gangday import');
  });

  it('a refusal leaves the sheet as it was', async () => {
    useDoor({ ...door, ask: async () => Promise.reject({ text: 'No.', findings: [] }) });
    await programme.change('Saving', { ask: 'save', folder: '/nowhere' });
    expect(programme.refusal?.text).toBe('No.');
    expect(programme.sheet).toBe(week);
  });
});

describe('keys', () => {
  const key = (name: string, target: EventTarget = document.body, held: KeyboardEventInit = {}) => {
    const event = new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true, ...held });
    Object.defineProperty(event, 'target', { value: target });
    press(event);
  };

  it('show a day, the week, and let go', () => {
    key('2');
    expect(selection.day).toBe('2027-03-02');
    key('w');
    expect(selection.day).toBeNull();
    selection.pickJob('J-001');
    key('Escape');
    expect(selection.now.what).toBe('nothing');
  });

  it('are left alone while the user writes', async () => {
    const input = document.createElement('input');
    key('p', input);
    await fireEvent(document.body, new Event('x'));
    expect(asked).toEqual([]);
  });

  it('put away one thing at a time: the sheet on top, the refusal, then the selection', () => {
    selection.pickJob('J-001');
    programme.refusal = { text: 'No.', findings: [] };
    key('Escape');
    expect(programme.refusal).toBeNull();
    expect(selection.now.what).toBe('job');
    desk.over = 'keys';
    key('Escape');
    expect(desk.over).toBeNull();
    expect(selection.now.what).toBe('job');
  });

  it('stop the planning', () => {
    programme.progress = { running: true, reading: false, title: '', fraction: 0, words: '', trace: [], planned: 0, of: 1 };
    render(Busy, { progress: programme.progress });
    expect(document.activeElement).toHaveTextContent('Stop and keep the best');
    key('Escape');
    programme.progress = null;
    expect(asked).toEqual([{ ask: 'stop' }]);
  });

  it('take the chords of every program', () => {
    key('z', document.body, { ctrlKey: true });
    expect(asked).toEqual([{ ask: 'undo' }]);
    programme.doing = null;
    programme.sheet = { ...week, folder: '/works/week-9' };
    key('s', document.body, { metaKey: true });
    expect(asked.at(-1)).toEqual({ ask: 'save', folder: null });
    key('p', document.body, { ctrlKey: true });
    expect(asked).toHaveLength(2);
  });

  it('ask for the whole programme', () => {
    const before = selection.whole;
    key('0');
    key('w');
    expect(selection.whole).toBe(before + 2);
  });

  it('do nothing that can’t be done now', () => {
    key('Z');
    expect(asked).toEqual([]);
    key('z');
    expect(asked).toEqual([{ ask: 'undo' }]);
  });
});

describe('the street', () => {
  it('names both parties of a clash, and leads to either', async () => {
    desk.fold('street', false);
    render(Notes, { sheet: week });
    const panel = within(screen.getByRole('region', { name: 'Street' }));
    await userEvent.click(panel.getByRole('button', { name: 'J-002' }));
    expect(selection.job).toBe('J-002');
  });

  it('lists deadlines by date, and says which are past', () => {
    desk.fold('street', false);
    render(Notes, { sheet: week });
    const panel = within(screen.getByRole('region', { name: 'Street' }));
    expect(panel.getByText('Wed 24 Feb 2027 16:30').closest('li')).toHaveTextContent('Apply for the permit, past');
  });

  it('shows control, widths, kit and the caution beside a job', () => {
    const lane = week.plan!.closures.find((one) => one.kind === 'lane')!;
    selection.pickJob(lane.job);
    render(Notes, { sheet: week });
    const closure = within(screen.getByRole('region', { name: `Closure of ${lane.job}` }));
    expect(closure.getByText(/^Priority signs; footway as before$/)).toBeInTheDocument();
    expect(closure.getByText(/competent person/)).toBeInTheDocument();
    expect(closure.getByText('Traffic cone').parentElement).toHaveTextContent('12');
    expect(closure.getByRole('img', { name: /Street across at .*works 2\.40 m/ })).toBeInTheDocument();
  });

  it('plays the day only when asked, and stops at its end', () => {
    vi.useFakeTimers();
    clockwork.set({ from: 480, to: 500 });
    selection.at = null;
    vi.advanceTimersByTime(5000);
    expect(selection.at).toBeNull();
    clockwork.turn();
    expect(selection.at).toBe(480);
    vi.advanceTimersByTime(5000);
    expect([selection.at, clockwork.playing]).toEqual([500, false]);
    selection.at = null;
    vi.useRealTimers();
  });
});

describe('in depth', () => {
  const planned = week.jobs.find((one) => one.route !== null)!;

  it('asks for the selected job once and draws its cross-section with every dimension', async () => {
    selection.pickJob(planned.id);
    render(Notes, { sheet: week });
    const drawn = await screen.findByRole('img', { name: new RegExp(`Cross-section of ${planned.id}.*depth of the dig 1150 mm`) });
    expect(drawn.querySelectorAll('polygon.part')).toHaveLength(detail().section.parts.length);
    expect(within(drawn as unknown as HTMLElement).getByText('890')).toBeTruthy();
    expect(asked.filter((one) => one.ask === 'job')).toEqual([{ ask: 'job', id: planned.id }]);
  });

  it('lays formula, numbers, figures, sources and dates over the sheet', async () => {
    selection.pickJob(planned.id);
    render(Worked);
    expect(await screen.findByText(/200 − 50 \+ 6 × 150/)).toBeTruthy();
    expect(screen.getByText('b - e + n h + m + f'.replaceAll(' - ', ' − '))).toBeTruthy();
    const row = screen.getByText('chamber.base').closest('tr')!;
    expect(row.textContent).toContain('200 mm');
    expect(row.textContent).toContain('common practice, no source');
    expect(row.textContent).toContain('2026-11-25');
    expect(screen.getByText(/Ash gang, 3 people, Mon 1 Mar at 10 °C/)).toBeTruthy();
  });

  it('opens by its key for a selected job only', () => {
    press(new KeyboardEvent('keydown', { key: 'e' }));
    expect(desk.over).toBeNull();
    selection.pickJob(planned.id);
    press(new KeyboardEvent('keydown', { key: 'e' }));
    expect(desk.over).toBe('worked');
  });

  it('says why where a job can’t be worked out', async () => {
    const refusing: Door = { ...door, ask: async () => Promise.reject({ text: 'J-009 can’t be worked out.', findings: [] }) };
    useDoor(refusing);
    await depth.look('J-009', 77);
    expect(depth.refusal?.text).toBe('J-009 can’t be worked out.');
  });

  it('tells loads, vibration, lifting and by when to order', async () => {
    selection.pick({ what: 'route', key: week.plan!.columns[0]!.key });
    render(Notes, { sheet: week });
    expect(await screen.findByText('Payload 3.5 t, body 2.5 m³.')).toBeTruthy();
    expect(screen.getByText('2 loads')).toBeTruthy();
    expect(screen.getByText('A(8) 2.9 m/s²')).toBeTruthy();
    expect(screen.getByText(/Past the action value of 2.5 m\/s²/)).toBeTruthy();
    expect(screen.getByText('J-001: One section weighs 57 kg.')).toBeTruthy();
    expect(screen.getAllByText('Fri 26 Feb').length).toBeGreaterThan(0);
    expect(screen.getByText(/£36.00/)).toBeTruthy();
    expect(screen.getByText(/0.01 m³ left from the day before/)).toBeTruthy();
  });
});
