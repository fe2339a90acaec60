# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of fuelreach for bash, made from its table of commands: do not edit.
_fuelreach() {
    local word=$2 before=$3 command=${COMP_WORDS[1]} options= files=0
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "check fuel draft parts tank --help --version" -- "$word"))
        return
    fi
    case "$command $before" in
        "check --format") COMPREPLY=($(compgen -W "text json csv" -- "$word")); return ;;
        "check --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "check --blend"|"check -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "check --set"|"check -s") COMPREPLY=(); return ;;
        "check --parts"|"check -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "fuel --temperature"|"fuel -t") COMPREPLY=(); return ;;
        "fuel --pressure") COMPREPLY=(); return ;;
        "fuel --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "fuel --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "parts --parts"|"parts -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "parts --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "tank --size") COMPREPLY=(); return ;;
        "tank --holds") COMPREPLY=(); return ;;
        "tank --add"|"tank -a") COMPREPLY=(); return ;;
        "tank --drain") COMPREPLY=(); return ;;
        "tank --target") COMPREPLY=(); return ;;
        "tank --steps") COMPREPLY=(); return ;;
        "tank --with") COMPREPLY=(); return ;;
        "tank --line") COMPREPLY=(); return ;;
        "tank --burn") COMPREPLY=(); return ;;
        "tank --return") COMPREPLY=(); return ;;
        "tank --bore") COMPREPLY=(); return ;;
        "tank --reading") COMPREPLY=(); return ;;
        "tank --temperature"|"tank -t") COMPREPLY=(); return ;;
        "tank --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "tank --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
    esac
    case $command in
        check) options="--format --units --blend --detail --set --parts --help"; files=1 ;;
        fuel) options="--temperature --pressure --format --units --help"; files=0 ;;
        draft) options="--help"; files=1 ;;
        parts) options="--parts --format --help"; files=0 ;;
        tank) options="--size --holds --add --drain --target --steps --with --line --burn --return --bore --reading --temperature --format --units --help"; files=0 ;;
    esac
    if [[ $word == -* ]]; then
        COMPREPLY=($(compgen -W "$options" -- "$word"))
    elif [ "$files" = 1 ]; then
        COMPREPLY=($(compgen -f -- "$word"))
    fi
}
complete -o filenames -F _fuelreach fuelreach
