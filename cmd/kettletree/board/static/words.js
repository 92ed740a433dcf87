// What scripts say, in the language of the page: it carries their sentences, by their English (language.go).
const table = document.getElementById("words");
const words = table ? JSON.parse(table.textContent) : {};

// t is a sentence, named by its English, with what is put in for %[1]s, %[2]s ...
export function t(english, ...args) {
	return (words[english] || english).replace(/%\[(\d)\]s/g, (_, n) => args[n - 1]);
}
