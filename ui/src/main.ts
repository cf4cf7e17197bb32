import './styles/fonts.css';
import './styles/tokens.css';
import './styles/base.css';
import './styles/section.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { desk } from './state/desk.svelte';
import { recall } from './state/kept';
import { programme } from './state/programme.svelte';
import { recent } from './state/recent.svelte';
import './state/probe';

const target = document.getElementById('app');
if (target === null) throw new Error('The page has no place for the sheet.');

void begin(target);

async function begin(place: HTMLElement): Promise<void> {
  await recall();
  desk.recall();
  recent.recall();
  mount(App, { target: place });
  await programme.start();
}
