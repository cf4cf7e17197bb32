import './styles/fonts.css';
import './styles/tokens.css';
import './styles/base.css';
import './styles/section.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { programme } from './state/programme.svelte';
import './state/probe';

const target = document.getElementById('app');
if (target === null) throw new Error('The page has no place for the sheet.');

mount(App, { target });
void programme.start();
