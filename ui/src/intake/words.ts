import { form } from '../state/form.svelte';

/** What a finding about a row says, or what becomes of it: properties as the form calls them, columns as the list does. */
export function inWords(text: string): string {
  return text.replaceAll(/`([^`]+)`/g, (_, name: string) => label(name)).replaceAll(' is "", not ', ' is empty, not ');
}

function label(name: string): string {
  const own = form.fields.find((field) => field.name === name)?.label.toLowerCase();
  return own ?? (/^[a-z_]+$/.test(name) ? name.replaceAll('_', ' ') : `“${name}”`);
}
