package commands

// scripts connect a shell with the hidden command __complete.
var scripts = []struct{ shell, text string }{
	{"bash", `# bash completion for vouchmark; in ~/.bashrc: source <(vouchmark completion bash)
_vouchmark() {
	local word about current=${COMP_WORDS[COMP_CWORD]}
	COMPREPLY=()
	while IFS=$'\t' read -r word about; do
		case $word in
		:files) compopt -o default ;;
		:folders) compopt -o dirnames ;;
		*) if [[ $current == [\'\"]* ]]; then COMPREPLY+=("$word"); else COMPREPLY+=("$(printf %q "$word")"); fi ;;
		esac
	done < <("$1" __complete "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _vouchmark vouchmark
`},
	{"zsh", `#compdef vouchmark
# zsh completion for vouchmark: save it as _vouchmark in a folder of $fpath, or source it after compinit
_vouchmark() {
	local -a found
	local line
	for line in "${(@f)$(${(Q)words[1]} __complete "${(@Q)words[2,CURRENT]}" 2>/dev/null)}"; do
		case $line in
		'') continue ;;
		:files) compset -P '--*='; _files; return ;;
		:folders) compset -P '--*='; _files -/; return ;;
		*$'\t'*) found+=("${${line%%$'\t'*}//:/\\:}:${line#*$'\t'}") ;;
		*) found+=("${line//:/\\:}") ;;
		esac
	done
	_describe -V vouchmark found
}
if [[ ${funcstack[1]} == _vouchmark ]]; then _vouchmark "$@"; else compdef _vouchmark vouchmark; fi
`},
	{"fish", `# fish completion for vouchmark: save it as ~/.config/fish/completions/vouchmark.fish
function __vouchmark
	set -l words (commandline -opc)
	set -l current (commandline -ct)
	set -l flag (string match -r -- '^--[^=]*=' "$current")
	for line in ($words[1] __complete $words[2..-1] "$current" 2>/dev/null)
		switch $line
			case ':files'
				printf '%s\n' "$flag"(__fish_complete_path (string replace -- "$flag" '' "$current"))
			case ':folders'
				printf '%s\n' "$flag"(__fish_complete_directories (string replace -- "$flag" '' "$current"))
			case '*'
				printf '%s\n' $line
		end
	end
end
complete -c vouchmark -f -a '(__vouchmark)'
`},
	{"powershell", `# PowerShell completion for vouchmark; in $PROFILE: vouchmark completion powershell | Out-String | Invoke-Expression
Register-ArgumentCompleter -Native -CommandName vouchmark -ScriptBlock {
	param($current, $tree, $cursor)
	$before = @($tree.CommandElements | Select-Object -Skip 1 |
		Where-Object { $_.Extent.EndOffset -lt $cursor } | ForEach-Object { $_.ToString() })
	$last = if ($current) { $current } else { '""' }
	& $tree.CommandElements[0].ToString() __complete @before $last 2>$null | ForEach-Object {
		$word, $about = $_ -split [char]9, 2
		if ($word -notin ':files', ':folders') {
			$text = if ($word -match '[^\w./=-]') { "'" + $word.Replace("'", "''") + "'" } else { $word }
			if (-not $about) { $about = $word }
			[System.Management.Automation.CompletionResult]::new($text, $word, 'ParameterValue', $about)
		}
	}
}
`},
}
